/**
 * Rotation plans by trying every way to cut the sequence into runs and every stop for each run, in whole degrees.
 * It shares nothing with the planner: no rationals, no dynamic programming, plans compared whole.
 */
export interface SmallEngine {
  readonly order: readonly number[];
  readonly cycle: number;
  readonly from: number;
  readonly until: number;
}

export interface SmallPlan {
  readonly stops: readonly {
    readonly position: number;
    readonly rotation: number;
    readonly bores: readonly number[];
    readonly margin: number;
  }[];
  readonly total: number;
  readonly leastMargin: number;
}

/** Degrees from the span, counted one by one: how far to turn, either way, until the follower is lifted. */
export function marginByCounting(engine: SmallEngine, cylinder: number, position: number): number {
  const { order, cycle, from, until } = engine;
  const slot = order.indexOf(cylinder) - order.indexOf(1);
  const fires = (slot * cycle) / order.length;
  const isLifted = (at: number) => {
    for (const turn of [-2, -1, 0, 1, 2]) {
      const since = at - fires + turn * cycle;
      if (since >= -from && since <= until) return true;
    }
    return false;
  };
  for (let margin = 0; margin < cycle; margin++)
    if (isLifted(position + margin) || isLifted(position - margin)) return margin;
  return cycle;
}

export function searchExhaustively(
  marginOf: (bore: number, position: number) => number,
  cycle: number,
  start: number,
  positions: readonly number[],
  sequence: readonly number[],
  accuracy: number,
): SmallPlan | undefined {
  let best: SmallPlan | undefined;
  const goOn = (
    from: number,
    left: readonly number[],
    stops: SmallPlan['stops'],
    total: number,
    least: number,
  ) => {
    if (left.length === 0) {
      const plan = { stops, total, leastMargin: least };
      if (!best || key(plan, best) < 0) best = plan;
      return;
    }
    if (best && stops.length >= best.stops.length) return;
    for (const position of positions) {
      const rotation = position > from ? position - from : position - from + cycle;
      let margin = Number.POSITIVE_INFINITY;
      for (let run = 1; run <= left.length; run++) {
        const spare = marginOf(left[run - 1] ?? 0, position);
        if (spare < Math.max(accuracy, 1e-9)) break;
        margin = Math.min(margin, spare);
        const stop = { position, rotation, bores: left.slice(0, run), margin };
        goOn(position, left.slice(run), [...stops, stop], total + rotation, Math.min(least, margin));
      }
    }
  };
  goOn(start, sequence, [], 0, Number.POSITIVE_INFINITY);
  return best;
}

function key(a: SmallPlan, b: SmallPlan): number {
  const lists = [
    [a.stops.length, b.stops.length],
    [a.total, b.total],
    ...a.stops.map((stop, i) => [-stop.bores.length, -(b.stops[i]?.bores.length ?? 0)] as const),
    ...a.stops.map((stop, i) => [-stop.margin, -(b.stops[i]?.margin ?? 0)] as const),
    ...a.stops.map((stop, i) => [stop.rotation, b.stops[i]?.rotation ?? 0] as const),
  ] as const;
  for (const [x, y] of lists) if (x !== y) return x < y ? -1 : 1;
  return 0;
}
