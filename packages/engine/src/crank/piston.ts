import {
  angleOf,
  divide,
  fromFixed,
  multiply,
  ONE,
  sineAndCosine,
  squareRoot,
  toFixed,
  toGrid,
} from '../quantity/fixed-point.ts';
import { Rational } from '../quantity/index.ts';

/** A slider-crank. All lengths in one unit, whichever it is. */
export interface SliderCrank {
  readonly crankRadius: Rational;
  readonly rodLength: Rational;
  /**
   * Distance of the gudgeon pin's path from the crankshaft axis, 0 if absent; positive towards the side on which
   * the crank pin goes down after TDC.
   */
  readonly offset?: Rational;
}

export type SliderCrankFault =
  | { readonly fault: 'not-positive'; readonly of: 'crankRadius' | 'rodLength' | 'grid' }
  /** The crank cannot go round: the radius and the offset together must be shorter than the rod. */
  | { readonly fault: 'rod-too-short'; readonly rodLength: Rational; readonly reach: Rational }
  /** The drop is negative or more than the stroke, which is stated rounded to a millionth of the rod length. */
  | { readonly fault: 'beyond-stroke'; readonly drop: Rational; readonly stroke: Rational };

/** Far above the rounding of `heightAt`, far below anything that can be measured. */
const SLACK = ONE >> 90n;

/**
 * How far the piston is below TDC when the crank is `angle` degrees past it (negative: before it; taken modulo
 * 360°), in the unit of the lengths, rounded to the nearest multiple of `grid`.
 *
 * With h(θ) = r cos θ + √(l² − (r sin θ − e)²), the drop is h(θ₀) − h(θ₀ + angle), where sin θ₀ = e / (l + r)
 * puts TDC, rod and crank in line, at 0 whatever the offset (Heywood, Internal Combustion Engine Fundamentals,
 * eq. 2.6, from memory, extended by the offset e). Computed in integers, so the same on every platform; the
 * error before rounding is below 2^-90 (8e-28) of the rod length, provided that the rod is a thousandth longer
 * than radius and offset together (it grows as they meet).
 */
export function pistonDrop(
  query: SliderCrank & { readonly angle: Rational; readonly grid: Rational },
): { readonly drop: Rational } | { readonly refused: readonly SliderCrankFault[] } {
  const refused = faultsOf(query);
  if (refused.length > 0) return { refused };
  const shape = shapeOf(query);
  const { sine, cosine } = sineAndCosine(query.angle);
  const turned = {
    sine: multiply(sine, shape.atTop.cosine) + multiply(cosine, shape.atTop.sine),
    cosine: multiply(cosine, shape.atTop.cosine) - multiply(sine, shape.atTop.sine),
  };
  const drop = shape.top - heightAt(shape, turned);
  return { drop: toGrid(fromFixed(drop).times(query.rodLength), query.grid) };
}

/**
 * The crank angle, degrees past TDC (so negative before it), at which the piston is `drop` below TDC, rounded to
 * the nearest multiple of `grid` degrees: the inverse of `pistonDrop` on the side asked for. At zero drop it is
 * 0 on both sides; at the full stroke it is BDC reached from that side. The error before rounding is below
 * 2^-80 (1e-24) of a degree, under the same proviso; a drop within 2^-90 of the stroke counts as the stroke.
 */
export function angleForDrop(
  query: SliderCrank & {
    readonly drop: Rational;
    readonly side: 'before-tdc' | 'after-tdc';
    readonly grid: Rational;
  },
): { readonly angle: Rational } | { readonly refused: readonly SliderCrankFault[] } {
  const refused = faultsOf(query);
  if (refused.length > 0) return { refused };
  const shape = shapeOf(query);
  const { ratio, offset, top, bottom, atTop } = shape;
  const height = top - toFixed(query.drop.over(query.rodLength));
  if (query.drop.sign < 0 || height < bottom - SLACK) {
    const stroke = fromFixed(top - bottom).times(query.rodLength);
    return {
      refused: [
        {
          fault: 'beyond-stroke',
          drop: query.drop,
          stroke: toGrid(stroke, query.rodLength.times(Rational.of(1, 1_000_000))),
        },
      ],
    };
  }
  // Law of cosines in the triangle of crank axis, crank pin and gudgeon pin: the angle at the crank axis.
  const distance = squareRoot(multiply(height, height) + multiply(offset, offset));
  const opened = clamp(
    divide(multiply(ratio, ratio) + multiply(distance, distance) - ONE, 2n * multiply(ratio, distance)),
  );
  const aside = squareRoot(ONE - multiply(opened, opened));
  const pin = { sine: divide(offset, distance), cosine: divide(height, distance) };
  const swing = query.side === 'after-tdc' ? aside : -aside;
  const crank = {
    sine: multiply(pin.sine, opened) + multiply(pin.cosine, swing),
    cosine: multiply(pin.cosine, opened) - multiply(pin.sine, swing),
  };
  const angle = angleOf({
    sine: multiply(crank.sine, atTop.cosine) - multiply(crank.cosine, atTop.sine),
    cosine: multiply(crank.cosine, atTop.cosine) + multiply(crank.sine, atTop.sine),
  });
  return { angle: toGrid(onSide(angle, query.side), query.grid) };
}

/** With an offset BDC is not at 180°, so the branch may reach a little past it; `angleOf` ends at 180°. */
function onSide(angle: Rational, side: 'before-tdc' | 'after-tdc'): Rational {
  const nearTop = angle.abs().compare(Rational.of(90)) < 0;
  if (nearTop) return angle;
  if (side === 'after-tdc') return angle.sign < 0 ? angle.plus(Rational.of(360)) : angle;
  return angle.sign > 0 ? angle.minus(Rational.of(360)) : angle;
}

function clamp(cosine: bigint): bigint {
  return cosine > ONE ? ONE : cosine < -ONE ? -ONE : cosine;
}

/** The slider-crank in fixed point, in rod lengths. */
interface Shape {
  readonly ratio: bigint;
  readonly offset: bigint;
  /** Height of the gudgeon pin above the crankshaft axis at TDC and BDC. */
  readonly top: bigint;
  readonly bottom: bigint;
  /** Crank angle at TDC, from the line through the crankshaft axis parallel to the bore. */
  readonly atTop: { readonly sine: bigint; readonly cosine: bigint };
}

function shapeOf({ crankRadius, rodLength, offset = Rational.zero }: SliderCrank): Shape {
  const ratio = toFixed(crankRadius.over(rodLength));
  const aside = toFixed(offset.over(rodLength));
  const top = squareRoot(multiply(ONE + ratio, ONE + ratio) - multiply(aside, aside));
  const bottom = squareRoot(multiply(ONE - ratio, ONE - ratio) - multiply(aside, aside));
  const atTop = { sine: divide(aside, ONE + ratio), cosine: divide(top, ONE + ratio) };
  return { ratio, offset: aside, top, bottom, atTop };
}

function heightAt({ ratio, offset }: Shape, at: { readonly sine: bigint; readonly cosine: bigint }): bigint {
  const lean = multiply(ratio, at.sine) - offset;
  return multiply(ratio, at.cosine) + squareRoot(ONE - multiply(lean, lean));
}

function faultsOf({
  crankRadius,
  rodLength,
  offset = Rational.zero,
  grid,
}: SliderCrank & { readonly grid: Rational }): readonly SliderCrankFault[] {
  const faults: SliderCrankFault[] = [];
  if (crankRadius.sign <= 0) faults.push({ fault: 'not-positive', of: 'crankRadius' });
  if (rodLength.sign <= 0) faults.push({ fault: 'not-positive', of: 'rodLength' });
  if (grid.sign <= 0) faults.push({ fault: 'not-positive', of: 'grid' });
  const reach = crankRadius.plus(offset.abs());
  if (reach.compare(rodLength) >= 0) faults.push({ fault: 'rod-too-short', rodLength, reach });
  return faults;
}
