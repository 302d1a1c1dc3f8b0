import { type Plan, type PlanTolerance, pointerTo, writeQuantity } from '@ferrule/engine';
import { boundsOf } from '../interval.ts';
import { plausibleBounds } from '../judged-range.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { partsIn, type Typed } from '../parts-in.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const beyondTable: DiagnosticKind = {
  code: 'beyond-table',
  severity: 'warning',
  says: 'A plausible value of a reading lies outside the table in which something is looked up by it.',
  marks: 'value',
  examine: ({ plans }: Subject) => oncePerPlace(beyondTables(plans)),
};

/** A value that is entered and lies outside has to be struck again before the job goes on. */
function* beyondTables(plans: readonly Plan[]): Generator<FindingOfVariant> {
  for (const plan of plans) {
    const bounds = plausibleBounds(plan);
    const entries = new Map(plan.entries.map((entry) => [entry.name, entry]));
    for (const { operands, table } of lookUpsIn(plan)) {
      const [argument] = operands;
      const range = argument && boundsOf(argument, bounds);
      const first = table.points[0]?.[0];
      const last = table.points.at(-1)?.[0];
      if (!argument || !range || !first || !last) continue;
      const isInside = range.low.value.compare(first.value) >= 0 && range.high.value.compare(last.value) <= 0;
      const isOutside = range.low.value.compare(last.value) > 0 || range.high.value.compare(first.value) < 0;
      const ends = `${writeQuantity(first)} to ${writeQuantity(last)}`;
      const points = pointerTo('/tables', table.id, 'points');
      const entry = argument.node === 'name' ? entries.get(argument.name) : undefined;
      if (entry?.entry === 'reading' && !isInside) {
        const [low, high] = entry.plausible;
        yield {
          variant: plan.variant.id,
          pointer: pointerTo(entry.pointer, 'plausible'),
          message: `${writeQuantity(low)} to ${writeQuantity(high)} goes beyond ${table.id}, which has ${ends}. A reading outside can be entered, and then the job waits until it is struck.`,
          remedy: 'Keep the plausible values inside the table, or add points to it from its source.',
          other: [{ pointer: points, message: `the points of ${table.id}` }],
        };
      } else if (isOutside) {
        // Readings count as independent of each other: only what surely lies outside is told of something calculated.
        yield {
          variant: plan.variant.id,
          pointer: points,
          message: `Nothing plausible is ever looked up between ${ends}.`,
          remedy: 'Correct the points, or what is looked up.',
        };
      }
    }
  }
}

type LookUp = Extract<Typed, { operation: 'table' }>;

function* lookUpsIn({ tolerances, conditions }: Plan): Generator<LookUp> {
  const expressions = [...tolerances.flatMap(amountsOf), ...conditions.map((one) => one.lowered.typed)];
  for (const expression of expressions) {
    for (const part of partsIn(expression))
      if (part.node === 'calculation' && part.operation === 'table') yield part;
  }
}

const amountsOf = ({ value, limitsFrom }: PlanTolerance): readonly Typed[] => [
  value,
  ...Object.values(limitsFrom ?? {}),
];
