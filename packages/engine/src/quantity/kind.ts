import { Rational } from './rational.ts';

/** Every kind of quantity that stands by itself. */
export const plainKinds = [
  'length',
  'angle',
  'torque',
  'pressure',
  'temperature',
  'temperature-difference',
  'time',
  'volume',
  'delivery',
  'flow',
  'rotational-speed',
  'force',
  'mass',
  'voltage',
  'current',
  'resistance',
  'ratio',
  'count',
  'strokes',
] as const;

export type PlainKind = (typeof plainKinds)[number];

/** What a quantity is: a plain kind, or one per another (the sensitivity `10 bar/mm` is a `pressure per length`). */
export type Kind = PlainKind | `${PlainKind} per ${PlainKind}`;

/** A kind together with the number that turns the product of two base-unit values into its own base unit. */
export interface ScaledKind {
  readonly kind: Kind;
  readonly scale: Rational;
}

/**
 * The products that mean something here, in base units (see `units.ts`): left × right × scale = product.
 * Torque is the only reading of force × length, and pressure × volume is not a torque, because no row says so.
 * Angle is a dimension of its own: a torque times an angle is no torque.
 */
const products: readonly (readonly [PlainKind, PlainKind, PlainKind, Rational])[] = [
  ['force', 'length', 'torque', Rational.of(1, 1000)], // N × mm in N·m
  ['flow', 'time', 'volume', Rational.of(1, 60)], // mL/min × s in mL
  ['delivery', 'strokes', 'volume', Rational.of(1, 1000)], // mm³/st × st in mL
  ['rotational-speed', 'time', 'angle', Rational.of(6)], // r/min × s in °
  ['current', 'resistance', 'voltage', Rational.one],
];

const isPlainKind = (text: string): text is PlainKind => (plainKinds as readonly string[]).includes(text);

function partsOf(kind: Kind): readonly [PlainKind, PlainKind | undefined] {
  const [above = '', below] = kind.split(' per ');
  if (!isPlainKind(above) || (below !== undefined && !isPlainKind(below)))
    throw new Error(`not a kind: ${kind}`);
  return [above, below];
}

/** Whether a text names a kind, plain or compound; a flow is never spelt `volume per time`, nor anything per a number. */
export function isKind(text: string): text is Kind {
  const [above = '', below, more] = text.split(' per ');
  if (!isPlainKind(above) || more !== undefined) return false;
  return below === undefined || (isPlainKind(below) && divideKinds(above, below) === text);
}

/** A kind as a person says it: `temperature difference`, `pressure per length`. */
export function kindName(kind: Kind): string {
  return kind.replaceAll('-', ' ');
}

const isNumber = (kind: Kind): boolean => kind === 'ratio' || kind === 'count';
const unscaled = (kind: Kind | undefined): ScaledKind | undefined =>
  kind === undefined ? undefined : { kind, scale: Rational.one };

/** The kind of a sum, or undefined. A temperature takes a difference; two temperatures have no sum. */
export function addKinds(a: Kind, b: Kind): Kind | undefined {
  if (a === b) return a === 'temperature' ? undefined : a;
  const pair = [a, b];
  return pair.includes('temperature') && pair.includes('temperature-difference') ? 'temperature' : undefined;
}

/** The kind of a difference a − b, or undefined. Two temperatures differ by a temperature difference. */
export function subtractKinds(a: Kind, b: Kind): Kind | undefined {
  if (a === b) return a === 'temperature' ? 'temperature-difference' : a;
  return a === 'temperature' && b === 'temperature-difference' ? a : undefined;
}

/** The product of two kinds with its scale, or undefined where it means nothing here. */
export function productOf(a: Kind, b: Kind): ScaledKind | undefined {
  if (a === 'temperature' || b === 'temperature') return undefined;
  if (isNumber(a) && isNumber(b)) return unscaled(a === b ? a : 'ratio');
  if (isNumber(b)) return unscaled(a);
  if (isNumber(a)) return unscaled(b);
  for (const [left, right, kind, scale] of products) {
    if ((a === left && b === right) || (a === right && b === left)) return { kind, scale };
  }
  const [aAbove, aBelow] = partsOf(a);
  const [bAbove, bBelow] = partsOf(b);
  if (aBelow === b) return unscaled(aAbove);
  if (bBelow === a) return unscaled(bAbove);
  return undefined;
}

/** The quotient a ÷ b of two kinds with its scale, or undefined. A count divides like a number, as in a mean. */
export function quotientOf(a: Kind, b: Kind): ScaledKind | undefined {
  if (a === 'temperature' || b === 'temperature') return undefined;
  if (a === b) return unscaled('ratio');
  if (isNumber(b)) return unscaled(isNumber(a) ? 'ratio' : a);
  for (const [left, right, kind, scale] of products) {
    if (a === kind && (b === left || b === right)) {
      return { kind: b === left ? right : left, scale: Rational.one.over(scale) };
    }
  }
  const [aAbove, aBelow] = partsOf(a);
  const [bAbove, bBelow] = partsOf(b);
  if (aBelow === undefined && bBelow === undefined) return unscaled(`${aAbove} per ${bAbove}`);
  return bBelow !== undefined && a === bAbove ? unscaled(bBelow) : undefined;
}

/** The kind of a product, or undefined. */
export const multiplyKinds = (a: Kind, b: Kind): Kind | undefined => productOf(a, b)?.kind;

/** The kind of a quotient a ÷ b, or undefined. */
export const divideKinds = (a: Kind, b: Kind): Kind | undefined => quotientOf(a, b)?.kind;
