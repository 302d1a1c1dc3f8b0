import { Rational } from '../quantity/index.ts';
import { followerAfter } from './follower.ts';
import { firingAngles, type Phasing, type PhasingFault, phasingFaults } from './phasing.ts';

export interface RotationRequest {
  readonly phasing: Phasing;
  /** The crank position of the stated mark, degrees in [0, cycle). It is not itself a free stop. */
  readonly start: Rational;
  readonly stops: AllowedStops;
  /** The cylinders whose pumps are visited, in this order, each once. */
  readonly sequence: readonly number[];
  /** How far, in degrees, the crank may come to rest from where it was meant to stop. */
  readonly stopAccuracy: Rational;
}

/** Where the crank can be stopped and held, degrees. `every` and `grid` count from position 0. */
export type AllowedStops =
  | { readonly at: readonly Rational[] }
  | { readonly every: Rational }
  | { readonly anywhere: true; readonly grid: Rational };

export interface RotationStop {
  readonly position: Rational;
  /** Degrees turned in the running direction from the previous position: 0 < rotation ≤ cycle. */
  readonly rotation: Rational;
  /** The cylinders served here, in the order of the sequence; never empty. */
  readonly bores: readonly number[];
  readonly margins: readonly { readonly bore: number; readonly margin: Rational }[];
}

export interface RotationPlan {
  readonly start: Rational;
  readonly stops: readonly RotationStop[];
  /** Degrees turned in all. */
  readonly total: Rational;
  /** The least margin of any bore at the stop that serves it, degrees. */
  readonly leastMargin: Rational;
}

export type RotationRefusal =
  | { readonly because: 'phasing'; readonly fault: PhasingFault }
  | { readonly because: 'start-outside-cycle'; readonly start: Rational }
  | { readonly because: 'stop-outside-cycle'; readonly position: Rational }
  | { readonly because: 'repeated-stop'; readonly position: Rational }
  | { readonly because: 'uneven-step'; readonly step: Rational; readonly cycle: Rational }
  | { readonly because: 'stop-count'; readonly most: number }
  | { readonly because: 'negative-accuracy'; readonly stopAccuracy: Rational }
  | { readonly because: 'empty-sequence' }
  | { readonly because: 'not-a-cylinder'; readonly bore: number }
  | { readonly because: 'repeated-bore'; readonly bore: number }
  /** No allowed stop leaves the follower of this bore on its base circle; the least bad one is named. */
  | {
      readonly because: 'no-free-stop';
      readonly bore: number;
      readonly position: Rational;
      readonly margin: Rational;
    }
  /** Some allowed stop does, but even the best one is nearer to the span than the crank can be stopped. */
  | {
      readonly because: 'stop-accuracy';
      readonly bore: number;
      readonly position: Rational;
      readonly margin: Rational;
      readonly stopAccuracy: Rational;
    };

/** A tenth of a degree all the way round 720°; bounds the work whatever step a pack asks for. */
export const MOST_STOPS = 7200;

/**
 * Plans the turning of the crank that brings each pump of a sequence, in order, to rest on its base circle.
 *
 * A stop serves a bore when its follower is on the base circle with a margin of at least `stopAccuracy`. Of all
 * plans that turn in the running direction only, by more than nothing and at most one cycle at a time, the one
 * returned has, in this order of importance:
 * 1. the fewest stops;
 * 2. the least total rotation;
 * 3. the most bores at the first stop, then at the second, and so on;
 * 4. the greatest least margin at the first stop, then at the second, and so on;
 * 5. the smallest first rotation, then second, and so on. No two plans tie here.
 *
 * Refuses with every reason found when the request is faulty, and otherwise with one reason per bore that no
 * stop can serve. If each bore has such a stop a plan exists, since each may have a stop to itself.
 */
export function planRotation(
  request: RotationRequest,
): { readonly plan: RotationPlan } | { readonly refused: readonly RotationRefusal[] } {
  const { phasing, start, sequence, stopAccuracy } = request;
  const phasingRefusals = phasingFaults(phasing).map((fault) => ({ because: 'phasing', fault }) as const);
  if (phasingRefusals.length > 0) return { refused: phasingRefusals };

  const { positions, refusals } = allowedPositions(request.stops, phasing.cycle);
  const refused = [...refusals, ...requestRefusals(request)];
  if (refused.length > 0) return { refused };

  // Sorted by the turn from the start, a plan is a list of indices, and its total rotation is ordered by
  // (times past the start, index of the last stop): no arithmetic on angles is needed to compare plans.
  const stops = positions
    .map((position) => ({ position, turn: turnTo(position, start, phasing.cycle) }))
    .sort((a, b) => a.turn.compare(b.turn));
  const fires = firingAngles(phasing);
  const margins = sequence.map((bore) =>
    stops.map(
      ({ position }) => followerAfter(phasing, position.minus(fires.get(bore) ?? Rational.zero)).margin,
    ),
  );

  const unserved = sequence.flatMap((bore, i): RotationRefusal[] => {
    let best: { readonly position: Rational; readonly margin: Rational } | undefined;
    stops.forEach(({ position }, q) => {
      const margin = margins[i]?.[q];
      if (margin && (!best || margin.compare(best.margin) > 0)) best = { position, margin };
    });
    if (!best || serves(best.margin, stopAccuracy)) return [];
    return best.margin.sign > 0
      ? [{ because: 'stop-accuracy', bore, ...best, stopAccuracy }]
      : [{ because: 'no-free-stop', bore, ...best }];
  });
  if (unserved.length > 0) return { refused: unserved };

  const ranks = rank(margins);
  const lowest = ranks.values.findIndex((margin) => serves(margin, stopAccuracy));
  const best = bestLeg(ranks.of, lowest);
  if (!best) throw new Error('every bore can be served, yet no rotation plan was found');
  return { plan: layOut(best, request, stops, margins) };
}

function serves(margin: Rational, stopAccuracy: Rational): boolean {
  return margin.sign > 0 && margin.compare(stopAccuracy) >= 0;
}

/** Degrees in (0, cycle] from one position on to another: coming back to the same one takes a whole cycle. */
function turnTo(position: Rational, from: Rational, cycle: Rational): Rational {
  const turn = position.minus(from).mod(cycle);
  return turn.sign === 0 ? cycle : turn;
}

function requestRefusals({ phasing, start, sequence, stopAccuracy }: RotationRequest): RotationRefusal[] {
  const refusals: RotationRefusal[] = [];
  if (!isInCycle(start, phasing.cycle)) refusals.push({ because: 'start-outside-cycle', start });
  if (stopAccuracy.sign < 0) refusals.push({ because: 'negative-accuracy', stopAccuracy });
  if (sequence.length === 0) refusals.push({ because: 'empty-sequence' });
  const seen = new Set<number>();
  for (const bore of sequence) {
    if (!phasing.firingOrder.includes(bore)) refusals.push({ because: 'not-a-cylinder', bore });
    else if (seen.has(bore)) refusals.push({ because: 'repeated-bore', bore });
    seen.add(bore);
  }
  return refusals;
}

function isInCycle(position: Rational, cycle: Rational): boolean {
  return position.sign >= 0 && position.compare(cycle) < 0;
}

function allowedPositions(
  stops: AllowedStops,
  cycle: Rational,
): { readonly positions: readonly Rational[]; readonly refusals: readonly RotationRefusal[] } {
  const tooMany = { positions: [], refusals: [{ because: 'stop-count', most: MOST_STOPS }] } as const;
  if ('at' in stops) {
    if (stops.at.length === 0 || stops.at.length > MOST_STOPS) return tooMany;
    const refusals: RotationRefusal[] = [];
    const sorted = [...stops.at].sort((a, b) => a.compare(b));
    sorted.forEach((position, i) => {
      if (!isInCycle(position, cycle)) refusals.push({ because: 'stop-outside-cycle', position });
      else if (sorted[i - 1]?.equals(position)) refusals.push({ because: 'repeated-stop', position });
    });
    return { positions: sorted, refusals };
  }
  const step = 'every' in stops ? stops.every : stops.grid;
  if (step.sign <= 0 || cycle.mod(step).sign !== 0)
    return { positions: [], refusals: [{ because: 'uneven-step', step, cycle }] };
  if (cycle.compare(step.times(Rational.of(MOST_STOPS))) > 0) return tooMany;
  const positions: Rational[] = [];
  for (let at = Rational.zero; at.compare(cycle) < 0; at = at.plus(step)) positions.push(at);
  return { positions, refusals: [] };
}

/** Each margin as its index among the distinct margins, rising, so that the search compares small integers. */
function rank(margins: readonly (readonly Rational[])[]): {
  readonly values: readonly Rational[];
  readonly of: readonly (readonly number[])[];
} {
  const flat = margins.flatMap((row, i) => row.map((margin, q) => ({ margin, i, q })));
  flat.sort((a, b) => a.margin.compare(b.margin));
  const values: Rational[] = [];
  const of: number[][] = margins.map((row) => row.map(() => 0));
  for (const { margin, i, q } of flat) {
    if (!values.at(-1)?.equals(margin)) values.push(margin);
    const row = of[i];
    if (row) row[q] = values.length - 1;
  }
  return { values, of };
}

/** A stop and all that follow it, or undefined when nothing is left to serve. */
interface Leg {
  readonly stop: number;
  readonly bores: number;
  readonly stops: number;
  /** How many times the crank passes the start on the way to the last stop, counted from the leg's viewpoint. */
  readonly wraps: number;
  readonly last: number;
  /** Least margin rank at this stop. */
  readonly margin: number;
  readonly rest: Leg | undefined;
}

/**
 * Dynamic programming from the end of the sequence: about bores² × stops steps. `ranks[i][q]` is the margin rank
 * of the sequence's i-th bore at stop q; only ranks of at least `lowest` serve.
 */
function bestLeg(ranks: readonly (readonly number[])[], lowest: number): Leg | undefined {
  const count = ranks[0]?.length ?? 0;
  /** `after[i][p]`: the best way to serve the bores from the i-th on with the crank at stop p. */
  const after: (readonly (Leg | undefined)[])[] = [];
  let best: Leg | undefined;
  for (let i = ranks.length - 1; i >= 0; i--) {
    const at: (Leg | undefined)[] = [];
    for (let q = 0; q < count; q++) {
      let margin = Number.POSITIVE_INFINITY;
      for (let end = i; end < ranks.length; end++) {
        margin = Math.min(margin, ranks[end]?.[q] ?? -1);
        if (margin < lowest) break;
        const rest = after[end + 1]?.[q];
        if (end + 1 < ranks.length && !rest) continue;
        const leg: Leg = {
          stop: q,
          bores: end + 1 - i,
          stops: 1 + (rest?.stops ?? 0),
          wraps: rest?.wraps ?? 0,
          last: rest?.last ?? q,
          margin,
          rest,
        };
        at[q] = better(at[q], leg);
      }
    }
    // From stop p, what lies ahead (q > p) is reached without passing the start, what lies behind by passing it.
    // On a tie the smaller turn wins, being the earlier argument of `better`.
    const ahead: (Leg | undefined)[] = [];
    for (let p = count - 1, found: Leg | undefined; p >= -1; p--) {
      if (p < 0) best = found;
      else {
        ahead[p] = found;
        found = better(at[p], found);
      }
    }
    let behind: Leg | undefined;
    after[i] = ahead.map((leg, p) => {
      const here = at[p];
      behind = better(behind, here && { ...here, wraps: here.wraps + 1 });
      return better(leg, behind);
    });
  }
  return best;
}

/** By criteria 1 to 4; on a tie the first argument, by which the sweeps of `bestLeg` settle the fifth. */
function better(a: Leg | undefined, b: Leg | undefined): Leg | undefined {
  if (!a || !b) return a ?? b;
  const preference =
    a.stops - b.stops ||
    a.wraps - b.wraps ||
    a.last - b.last ||
    preferMoreEarly(a, b, 'bores') ||
    preferMoreEarly(a, b, 'margin');
  return preference <= 0 ? a : b;
}

/** Negative when `a` has more at the first stop at which the two differ. */
function preferMoreEarly(a: Leg, b: Leg, what: 'bores' | 'margin'): number {
  for (let x: Leg | undefined = a, y: Leg | undefined = b; x && y; x = x.rest, y = y.rest)
    if (x[what] !== y[what]) return y[what] - x[what];
  return 0;
}

function layOut(
  first: Leg,
  { phasing, start, sequence }: RotationRequest,
  stops: readonly { readonly position: Rational }[],
  margins: readonly (readonly Rational[])[],
): RotationPlan {
  const laid: RotationStop[] = [];
  let from = start;
  let total = Rational.zero;
  let leastMargin: Rational | undefined;
  let served = 0;
  for (let leg: Leg | undefined = first; leg; leg = leg.rest) {
    const { stop, bores } = leg;
    const position = stops[stop]?.position ?? from;
    const rotation = turnTo(position, from, phasing.cycle);
    const here = sequence.slice(served, served + bores).map((bore, k) => ({
      bore,
      margin: margins[served + k]?.[stop] ?? Rational.zero,
    }));
    for (const { margin } of here) if (!leastMargin || margin.compare(leastMargin) < 0) leastMargin = margin;
    laid.push({ position, rotation, bores: here.map(({ bore }) => bore), margins: here });
    total = total.plus(rotation);
    from = position;
    served += bores;
  }
  return { start, stops: laid, total, leastMargin: leastMargin ?? Rational.zero };
}
