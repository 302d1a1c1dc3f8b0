import { fromFixed, sineAndCosine, toGrid } from '../quantity/fixed-point.ts';
import { type Amount, convert, type Quantity, Rational } from '../quantity/index.ts';

/** An adapter between wrench and screw, with the angle between its axis and that of the wrench. */
export interface Adapter {
  readonly length: Quantity;
  readonly angle: Quantity;
}

/** Grid of the cosine, which is exact at 0°, 60°, 90°, 120° and 180°. */
const COSINE_GRID = Rational.of(1, 1_000_000_000);

/**
 * How much more torque an adapter gives at the screw than the wrench has at its drive: (L + E · cos φ) / L, with the length
 * L of the wrench from its drive to the middle of the grip, the length E of the adapter and the angle φ between the two
 * (common practice of the trade; worked examples of the straight adapter stand in hand-tool instruction sheets). The cosine
 * is rounded to 1e-9. Undefined where the wrench has no length, or the adapter reaches back past the grip, so that nothing
 * is left of the lever.
 */
export function adapterRatio(wrench: Amount, { length, angle }: Adapter): Rational | undefined {
  const cosine = toGrid(fromFixed(sineAndCosine(angle.value).cosine), COSINE_GRID);
  const lever = wrench.value.plus(length.value.times(cosine));
  return wrench.value.sign > 0 && lever.sign > 0 ? lever.over(wrench.value) : undefined;
}

/** What a wrench is set to for a torque. */
export interface WrenchSetting {
  /** A multiple of the resolution of the wrench, in its unit. */
  readonly set: Quantity;
  /** The same before it was rounded. */
  readonly exact: Amount;
  /** The torque that reaches the screw at this setting, with the running torque in it. */
  readonly gives: Amount;
}

/** What a wrench has to be set to: the torque, with the running torque added to it, over the ratio of the adapter. */
export const exactSetting = (torque: Amount, running: Amount | undefined, ratio: Rational): Rational =>
  (running === undefined ? torque.value : torque.value.plus(running.value)).over(ratio);

/**
 * The setting of a wrench: the torque, with the running torque of the joint added to it, over the ratio of the adapter (1
 * without one); rounded to the nearest step of the wrench, a tie to the even one.
 */
export function wrenchSetting(
  torque: Amount,
  running: Amount | undefined,
  ratio: Rational,
  resolution: Quantity,
): WrenchSetting {
  const exact = exactSetting(torque, running, ratio);
  // A resolution of nothing is a fault of the pack; then whole units are set.
  const step = resolution.value.sign > 0 ? resolution.value : resolution.unit.factor;
  const steps = BigInt(exact.over(step).toDecimal(0, 'half-even'));
  const value = Rational.of(steps).times(step);
  const kind = 'torque';
  return {
    set: convert({ kind, value }, resolution.unit, resolution.decimals),
    exact: { kind, value: exact },
    gives: { kind, value: value.times(ratio) },
  };
}
