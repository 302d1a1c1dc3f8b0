import type { Beyond } from '../measure/index.ts';
import { type Quantity, Rational, storedQuantity, valueIn } from '../quantity/index.ts';
import { carriedQuantity, carriedStandard } from './carried.ts';
import type { CarriedFrom, FactBody, InstrumentUsed } from './fact.ts';
import { type Indication, onCircle, type ReadingEntry, valueOfRepeats } from './repeats.ts';

export type Taken = {
  readonly seq: number;
  readonly text: string;
} & (
  | {
      readonly entry: 'reading';
      /** The value, exactly; of repeats, what is taken of them, with its digits rounded. Beyond the scale, its end. */
      readonly quantity: Quantity;
      readonly beyond?: Beyond;
      /** The digits do not say the value exactly: a mean, or an angle moved by whole turns. */
      readonly isInexact?: true;
      /** Every single one, where it was taken several times; on a circle, side by side. */
      readonly repeats?: readonly Quantity[];
      /** Which instrument took it, where one was named. */
      readonly instrument?: InstrumentUsed;
      /** It was taken over from an earlier job: from where, and its standard uncertainty where that is known. */
      readonly carried?: Carried;
      /** The facts of all of them. */
      readonly facts: readonly number[];
    }
  | { readonly entry: 'observation' | 'field' | 'identity' }
);

export interface Carried {
  readonly from: CarriedFrom;
  readonly uncertainty?: { readonly standard: Rational; readonly degreesOfFreedom?: number };
}

type ReadingTaken = Extract<Taken, { entry: 'reading' }>;

/**
 * What a reading holds after one more fact about it, `before` being the indications of it that there are: its value, or,
 * while it is not complete, all of its indications. Undefined where the fact does not state a quantity of this reading.
 */
export function takenReading(
  entry: ReadingEntry,
  before: readonly Indication[],
  seq: number,
  body: Extract<FactBody, { kind: 'reading' | 'carried' }>,
): ReadingTaken | readonly Indication[] | undefined {
  if (body.kind === 'carried') {
    const stored = carriedQuantity(body, entry.kind);
    if (stored === undefined) return undefined;
    const quantity = onCircle(stored, entry);
    const uncertainty = body.uncertainty && carriedStandard(body.uncertainty, entry.kind);
    return {
      seq,
      text: `${body.digits} ${body.unit}`.trim(),
      entry: 'reading',
      quantity,
      ...(isExact(quantity) ? {} : { isInexact: true }),
      carried: { from: body.from, ...(uncertainty === undefined ? {} : { uncertainty }) },
      facts: [seq],
    };
  }
  const stored = storedQuantity(body.digits, body.unit, entry.kind);
  if (stored === undefined) return undefined;
  const quantity = onCircle(stored, entry);
  const { repeat = 1, instrument, beyond } = body;
  const used = instrument === undefined ? {} : { instrument };
  const all: readonly Indication[] = [...before, { seq, repeat, quantity, ...used }];
  if (body.open === true) return all;
  const base = {
    seq,
    text: body.typed,
    entry: 'reading',
    facts: all.map((one) => one.seq),
    ...used,
  } as const;
  if (beyond !== undefined) return { ...base, quantity, beyond };
  const taken = entry.repeats === undefined ? undefined : valueOfRepeats(entry, all);
  const value = taken?.value ?? quantity;
  return {
    ...base,
    quantity: value,
    ...(value === stored || isExact(value) ? {} : { isInexact: true }),
    ...(taken === undefined ? {} : { repeats: taken.repeats }),
  };
}

const isExact = (quantity: Quantity): boolean =>
  Rational.parse(quantity.digits)?.equals(valueIn(quantity, quantity.unit)) === true;
