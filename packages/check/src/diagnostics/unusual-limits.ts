import {
  type Kind,
  kindName,
  type Plan,
  parseQuantity,
  pointerTo,
  valueAt,
  writeAmount,
  type written,
} from '@ferrule/engine';
import { limitsAt } from '../limits-at.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unusualLimits: DiagnosticKind = {
  code: 'unusual-limits',
  severity: 'warning',
  says: 'Limits lie outside of what is usual in the trade for such a thing.',
  marks: 'value',
  examine: (subject: Subject): Iterable<Finding> => oncePerPlace(limitsOutsideOfUsual(subject)),
};

/** What is usual, from memory: no published source. It warns an author of a slip, and no verdict uses it. */
const usual: Readonly<
  Record<
    NonNullable<written.Tolerance['usual']>,
    { readonly kind: Kind; readonly range: readonly [string, string] }
  >
> = {
  'hole-nozzle-opening-pressure': { kind: 'pressure', range: ['100 bar', '350 bar'] },
  'cranking-compression': { kind: 'pressure', range: ['15 bar', '40 bar'] },
  'governor-droop': { kind: 'ratio', range: ['0 %', '12 %'] },
  'cam-to-crank-speed': { kind: 'ratio', range: ['0.5', '0.5'] },
};

function* limitsOutsideOfUsual({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const plan of plans) {
    for (const tolerance of plan.tolerances) {
      const name = (valueAt(pack, tolerance.pointer) as written.Tolerance | undefined)?.usual;
      if (name === undefined) continue;
      const { kind, range } = usual[name];
      const of = { variant: plan.variant.id };
      if (tolerance.unit.kind !== kind) {
        yield {
          ...of,
          severity: 'error',
          pointer: pointerTo(tolerance.pointer, 'usual'),
          message: `${name} is a ${kindName(kind)}, and ${tolerance.of} is a ${kindName(tolerance.unit.kind)}.`,
          remedy: 'Take usual: out, or look at what is judged.',
        };
        continue;
      }
      const missed = outside(tolerance, kind, range);
      if (missed === undefined) continue;
      yield {
        ...of,
        pointer: limitsAt(tolerance, pack),
        message: `${tolerance.says} lies outside of what is usual, ${range[0]}${range[0] === range[1] ? '' : ` to ${range[1]}`}: ${missed}. That range is from memory and no limit.`,
        remedy: 'Look the value and its unit up once more. If it is right, take usual: out.',
      };
    }
  }
}

/** The limit that lies outside of a range. */
function outside(
  { limits: { low, high }, unit, decimals }: Plan['tolerances'][number],
  kind: Kind,
  range: readonly [string, string],
): string | undefined {
  const [least, most] = range.map((text) => parseQuantity(text, kind));
  if (least === undefined || most === undefined || !('quantity' in least && 'quantity' in most))
    return undefined;
  for (const limit of [low, high]) {
    if (limit === undefined) continue;
    const isLess = limit.value.compare(least.quantity.value) < 0;
    if (isLess || limit.value.compare(most.quantity.value) > 0)
      return `${writeAmount(limit, unit, decimals)} is ${isLess ? 'less' : 'more'}`;
  }
  return undefined;
}
