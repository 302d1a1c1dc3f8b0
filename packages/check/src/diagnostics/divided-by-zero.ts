import {
  type Plan,
  type PlanTolerance,
  pointerTo,
  type RelatedPlace,
  type TypedAmount,
} from '@ferrule/engine';
import { boundsOf } from '../interval.ts';
import { plausibleBounds } from '../judged-range.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { partsIn, type Typed } from '../parts-in.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const dividedByZero: DiagnosticKind = {
  code: 'divided-by-zero',
  severity: 'warning',
  says: 'A value is divided by one that can be zero.',
  marks: 'value',
  examine: ({ plans }: Subject) => oncePerPlace(divisions(plans)),
};

/** Where a reading that was accepted as plausible leaves a verdict or a condition without a value. */
function* divisions(plans: readonly Plan[]): Generator<FindingOfVariant> {
  for (const plan of plans) {
    const bounds = plausibleBounds(plan);
    for (const { typed, pointer, by } of expressionsOf(plan)) {
      for (const part of partsIn(typed)) {
        if (part.node !== 'calculation' || part.operation !== 'over') continue;
        const [, divisor] = part.operands;
        const names = new Set(divisor === undefined ? [] : namesIn(divisor));
        // Of several readings it is rare that they come to nothing together, and a difference may never do so.
        const [name] = names.size === 1 ? names : [];
        const range = divisor && name !== undefined ? boundsOf(divisor, bounds) : undefined;
        if (name === undefined || range === undefined) continue;
        if (range.low.value.sign > 0 || range.high.value.sign < 0) continue;
        const what = divisor?.node === 'name' ? baseOf(name) : `what ${baseOf(name)} comes to`;
        yield {
          variant: plan.variant.id,
          pointer,
          message: `${by} divides by ${what}, which can be 0 when it is plausible. Then there is no value, and the job waits until a reading is struck.`,
          remedy: 'Let what is plausible begin above 0: a reading of 0 is then refused when it is typed.',
          other: plausibleOf(plan, name),
        };
      }
    }
  }
}

interface Written {
  readonly typed: Typed;
  readonly pointer: string;
  /** What it is for, at the beginning of a sentence. */
  readonly by: string;
}

function expressionsOf({ tolerances, conditions }: Plan): readonly Written[] {
  return [
    ...tolerances.flatMap((one): readonly Written[] => [
      { typed: one.value, pointer: derivedAt(one), by: baseOf(one.of) },
      ...Object.values(one.limitsFrom ?? {}).map((typed) => ({ typed, pointer: one.pointer, by: 'a limit' })),
    ]),
    ...conditions.map(({ lowered, pointer }) => ({ typed: lowered.typed, pointer, by: 'the condition' })),
  ];
}

const namesIn = (typed: TypedAmount): readonly string[] =>
  [...partsIn(typed)].flatMap((one) => (one.node === 'name' ? one.name : []));

const baseOf = (name: string): string => name.split('@')[0] ?? name;

/** Where the expression of a derived value is written; for one of a performed procedure, where it is named. */
function derivedAt({ of, pointer }: PlanTolerance): string {
  const name = baseOf(of);
  const procedure = pointer.split('/').slice(0, 3).join('/');
  return name.includes('.') ? pointerTo(pointer, 'of') : pointerTo(procedure, 'derived', name, 'is');
}

function plausibleOf({ entries }: Plan, name: string): readonly RelatedPlace[] {
  const entry = entries.find((one) => one.name === name);
  return entry?.entry === 'reading'
    ? [{ pointer: pointerTo(entry.pointer, 'plausible'), message: `what ${baseOf(name)} can be` }]
    : [];
}
