import {
  convert,
  inOtherSystem,
  type PlanTolerance,
  type Quantity,
  Rational,
  type Stage,
  writeQuantity,
} from '@ferrule/engine';

/** A quantity as the pack states it, with the other system of units behind it: `43 N·m (32 lbf·ft)`. */
export function inBothSystems(quantity: Quantity): string {
  const other = inOtherSystem(quantity);
  return other === undefined
    ? writeQuantity(quantity)
    : `${writeQuantity(quantity)} (${writeQuantity(other)})`;
}

/** What limits come to, in the pack's unit and in that of the other system. */
export interface WrittenInBoth {
  /** As the pack says it: `0.036 mm ± 0.005 mm`. */
  readonly says: string;
  /** The limits themselves where the pack says them by a nominal value: `0.031 mm to 0.041 mm`. */
  readonly limits?: string;
  /** The limits in the unit of the other system; undefined where there is none, as for a count. */
  readonly other?: string;
}

export function limitsInBoth({
  limits,
  unit,
  decimals,
  says,
}: Pick<PlanTolerance, 'limits' | 'unit' | 'decimals' | 'says'>): WrittenInBoth {
  const own = (amount: PlanTolerance['limits']['low']): Quantity | undefined =>
    amount && convert(amount, unit, decimals);
  const low = own(limits.low);
  const high = own(limits.high);
  const inOwn = range(low, high);
  const inOther = limitsInOther(low, high);
  return {
    says,
    ...(inOwn === says || inOwn === undefined ? {} : { limits: inOwn }),
    ...(inOther === undefined ? {} : { other: inOther }),
  };
}

const HALF = Rational.of(1, 2);
const TENTH = Rational.of(1, 10);
const MOST_DECIMALS = 9;

/**
 * Limits in the other system, rounded to the inside: what is accepted by them is accepted by the pack's own. Both ends have
 * one unit and as many digits as it takes to lose no more than half of the last place of the own ones, or a tenth of their
 * width.
 */
function limitsInOther(low: Quantity | undefined, high: Quantity | undefined): string | undefined {
  const ends = [low, high].flatMap((one) => one ?? []);
  const others = ends.flatMap((one) => inOtherSystem(one) ?? []);
  const [largest] = [...others].sort((a, b) => b.value.abs().compare(a.value.abs()));
  const [like] = ends;
  if (largest === undefined || like === undefined) return undefined;
  const { unit } = largest;
  const lastPlace = like.unit.factor.over(Rational.of(10 ** like.decimals)).times(HALF);
  const width = low === undefined || high === undefined ? Rational.zero : high.value.minus(low.value);
  const share = width.times(TENTH);
  const most = share.compare(lastPlace) > 0 ? share : lastPlace;
  for (let places = Math.max(...others.map((one) => (one.unit === unit ? one.decimals : 0))); ; places++) {
    const from = low && convert(low, unit, places, 'up');
    const to = high && convert(high, unit, places, 'down');
    const isNear = (end: Quantity | undefined, own: Quantity | undefined): boolean =>
      end === undefined || own === undefined || end.value.minus(own.value).abs().compare(most) <= 0;
    if (places >= MOST_DECIMALS || (isNear(from, low) && isNear(to, high)))
      return from !== undefined && to !== undefined && from.value.compare(to.value) > 0
        ? undefined
        : range(from, to);
  }
}

function range(low: Quantity | undefined, high: Quantity | undefined): string | undefined {
  if (low === undefined) return high && `at most ${writeQuantity(high)}`;
  if (high === undefined) return `at least ${writeQuantity(low)}`;
  return low.value.equals(high.value)
    ? `exactly ${writeQuantity(low)}`
    : `${writeQuantity(low)} to ${writeQuantity(high)}`;
}

/** One stage of tightening, in both systems where it has two. */
export function stageInBoth(stage: Stage): string {
  switch (stage.stage) {
    case 'torque':
      return inBothSystems(stage.torque);
    case 'angle':
      return `then by ${writeQuantity(stage.angle)}`;
    case 'slacken':
      return stage.angle === undefined ? 'slacken' : `slacken by ${writeQuantity(stage.angle)}`;
  }
}
