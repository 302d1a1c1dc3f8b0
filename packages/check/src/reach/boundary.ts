import {
  type Amount,
  type Entry,
  type Plan,
  type PlanTolerance,
  Rational,
  type Signal,
  startControl,
  type Unit,
  valueIn,
} from '@ferrule/engine';
import { marksOfSignal } from './marks-of-signal.ts';

type Reading = Extract<Entry, { entry: 'reading' }>;
type Outcome = Extract<Signal, { signal: 'judged' }>['outcome'];

/** Values of one reading on the border of what conforms: at a limit, and one last digit beyond it. */
export interface Border {
  readonly at: string;
  readonly beyond: string;
}

const MOST_DECIMALS = 6;

/** The border of a tolerance on a side, in the unit of the reading that it judges directly; undefined where it is no such. */
function borderOf(
  plan: Plan,
  tolerance: PlanTolerance,
  side: 'high' | 'low',
): { readonly reading: Reading; readonly border: Border } | undefined {
  const [only, ...others] = tolerance.entries.flatMap((index) => plan.entries[index] ?? []);
  const limit = tolerance.limits[side];
  if (only?.entry !== 'reading' || others.length > 0 || tolerance.value.node !== 'name') return undefined;
  if (limit === undefined || limit.kind !== only.kind || only.circle !== undefined) return undefined;
  return { reading: only, border: borderAt(limit, only.unit, tolerance.decimals, side) };
}

/** A limit that has no end of digits in the unit is gone up to from inside. */
function borderAt(limit: Amount, unit: Unit, written: number, side: 'high' | 'low'): Border {
  const value = valueIn(limit, unit);
  let decimals = written;
  const rounded = (): Rational => Rational.parse(value.toDecimal(decimals)) ?? value;
  while (decimals < MOST_DECIMALS && !rounded().equals(value)) decimals += 1;
  const step = Rational.of(1, 10 ** decimals);
  const isOutside = (one: Rational): boolean => one.compare(value) === (side === 'high' ? 1 : -1);
  const outwards = (one: Rational): Rational => (side === 'high' ? one.plus(step) : one.minus(step));
  const near = rounded();
  const at = isOutside(near) ? (side === 'high' ? near.minus(step) : near.plus(step)) : near;
  const text = (one: Rational): string => `${one.toDecimal(decimals)}${unitText(unit)}`;
  return { at: text(at), beyond: text(outwards(at)) };
}

const unitText = ({ symbol }: Unit): string => (symbol === '' || symbol === '°' ? symbol : ` ${symbol}`);

/**
 * For every taking of a reading that is judged directly, the value on the border that gives its outcome on a way: beyond
 * the limit where it is missed, at the limit that was missed before where it is met after that. By entry, in the order
 * of the takings; undefined where a taking is none of these.
 */
export function borderValues(
  plan: Plan,
  signals: readonly Signal[],
  atLimit: { readonly node: number; readonly side: 'high' | 'low' } | undefined,
): ReadonlyMap<number, readonly (string | undefined)[]> {
  const values = new Map<number, (string | undefined)[]>();
  const missed = new Map<number, 'high' | 'low'>();
  let control = startControl(plan);
  for (const signal of signals) {
    if (signal.signal === 'recorded')
      values.set(signal.entry, [...(values.get(signal.entry) ?? []), undefined]);
    const node = plan.nodes[control.at];
    if (signal.signal === 'judged' && node?.node === 'step' && node.check?.check === 'tolerance') {
      const tolerance = plan.tolerances[node.check.tolerance];
      const [entry = -1] = tolerance?.entries ?? [];
      if (atLimit?.node === node.index && !missed.has(entry)) missed.set(entry, atLimit.side);
      const side = sideOf(signal.outcome) ?? missed.get(entry);
      const found =
        tolerance === undefined || side === undefined ? undefined : borderOf(plan, tolerance, side);
      const list = values.get(entry);
      if (side !== undefined) missed.set(entry, side);
      if (found !== undefined && list !== undefined)
        list[list.length - 1] = signal.outcome === 'conforming' ? found.border.at : found.border.beyond;
    }
    control = marksOfSignal(plan, control, signal).after;
  }
  return values;
}

const sideOf = (outcome: Outcome): 'high' | 'low' | undefined =>
  outcome === 'high' || outcome === 'low' ? outcome : undefined;
