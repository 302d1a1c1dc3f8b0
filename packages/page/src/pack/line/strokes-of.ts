import { curveBumpY, link } from 'd3-shape';
import type { Stop } from './stops-of.ts';

/** The middle of a stop, in pixels from the corner of the frame. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A piece of the line: it goes on, turns off to what stands beside it, or leads back. */
export interface Stroke {
  readonly kind: 'on' | 'off' | 'back';
  readonly path: string;
}

const bump = link<{ source: Point; target: Point }, Point>(curveBumpY)
  .x(({ x }) => x)
  .y(({ y }) => y);

/** How far the ways back stand from one another, and how many stand side by side before the first place is used again. */
const LANE = 6;
const LANES = 5;
/** How round a way back turns. */
const ROUND = 9;

/** The strokes between stops, once it is known where these stand. */
export function strokesOf(stops: readonly Stop[], points: ReadonlyMap<string, Point>): readonly Stroke[] {
  return new Strokes(points, stopByNumber(stops)).of(stops);
}

/** Ends of what leads into the next stop: the stop itself, or what stands last beside it. */
type Open = readonly { readonly at: Point; readonly kind: 'on' | 'off' }[];

class Strokes {
  readonly #points: ReadonlyMap<string, Point>;
  readonly #byNumber: ReadonlyMap<number, string>;
  readonly #strokes: Stroke[] = [];
  readonly #backs: { readonly from: Point; readonly to: Point }[] = [];

  constructor(points: ReadonlyMap<string, Point>, byNumber: ReadonlyMap<number, string>) {
    this.#points = points;
    this.#byNumber = byNumber;
  }

  of(stops: readonly Stop[]): readonly Stroke[] {
    this.#along(stops, []);
    return [...this.#strokes, ...this.#waysBack()];
  }

  /** Draws a list of stops from what leads to it, and answers what leads on from it. */
  #along(stops: readonly Stop[], from: Open): Open {
    let open = from;
    /** What the cases of a choice lead to is what follows all of them. */
    let taken: Open = [];
    for (const stop of stops) {
      const at = this.#points.get(stop.key);
      if (at === undefined) continue;
      if (stop.stop !== 'case') {
        open = [...open, ...taken];
        taken = [];
      }
      for (const one of open) this.#stroke(one.kind, one.at, at);
      open = [{ at, kind: 'on' }];
      switch (stop.stop) {
        case 'part': {
          const last = this.#along(stop.beside, [{ at, kind: 'on' }]);
          const first = this.#points.get(stop.beside[0]?.key ?? '');
          const end = last.at(-1)?.at;
          if (stop.isLoop && first !== undefined && end !== undefined)
            this.#backs.push({ from: end, to: first });
          if (stop.beside.length > 0) open = last;
          break;
        }
        case 'case':
          taken = [...taken, ...this.#along(stop.beside, [{ at, kind: 'on' }])];
          break;
        case 'step':
          for (const one of stop.beside) this.#besideStep(one, at);
          break;
        default:
      }
    }
    return [...open, ...taken];
  }

  /** What a step leads to that does not conform: a hold, or a rework with its way back. */
  #besideStep(stop: Stop, from: Point): void {
    const at = this.#points.get(stop.key);
    if (at === undefined) return;
    this.#stroke('off', from, at);
    if (stop.stop !== 'rework') return;
    let last = at;
    for (const one of stop.beside) {
      const next = this.#points.get(one.key);
      if (next === undefined) continue;
      this.#stroke(one.stop === 'hold' ? 'off' : 'on', one.stop === 'hold' ? at : last, next);
      if (one.stop === 'task') last = next;
    }
    const back = this.#points.get(this.#byNumber.get(stop.backTo ?? -1) ?? '');
    if (back !== undefined) this.#backs.push({ from: last, to: back });
  }

  #stroke(kind: 'on' | 'off', source: Point, target: Point): void {
    this.#strokes.push({ kind, path: bump({ source, target }) ?? '' });
  }

  /** The ways back, each on the first lane left of the line that is free along the whole of it. */
  #waysBack(): readonly Stroke[] {
    const lanes: { readonly top: number; readonly bottom: number }[][] = [];
    const inOrder = [...this.#backs].sort((a, b) => a.from.y - a.to.y - (b.from.y - b.to.y));
    return inOrder.map(({ from, to }) => {
      if (from.y === to.y) return { kind: 'back' as const, path: roundAbout(to) };
      const span = { top: Math.min(from.y, to.y), bottom: Math.max(from.y, to.y) };
      const isFree = (lane: number): boolean =>
        (lanes[lane] ?? []).every(({ top, bottom }) => bottom < span.top || span.bottom < top);
      let lane = 0;
      while (lane < LANES - 1 && !isFree(lane)) lane += 1;
      lanes[lane] = [...(lanes[lane] ?? []), span];
      const x = Math.min(from.x, to.x) - 20 - lane * LANE;
      const turn = Math.min(ROUND, Math.abs(from.y - to.y) / 2, to.x - x, from.x - x);
      const path = [
        `M${from.x} ${from.y}H${x + turn}Q${x} ${from.y} ${x} ${from.y - turn}`,
        `V${to.y + turn}Q${x} ${to.y} ${x + turn} ${to.y}H${to.x - 15}`,
        `m-6 -4l6 4l-6 4`,
      ];
      return { kind: 'back' as const, path: path.join('') };
    });
  }
}

/** A way back from a stop to itself. */
const roundAbout = ({ x, y }: Point): string =>
  `M${x - 8} ${y + 12}C${x - 36} ${y + 22} ${x - 36} ${y - 6} ${x - 15} ${y}m-6 -5l6 5l-7 3`;

function stopByNumber(stops: readonly Stop[]): ReadonlyMap<number, string> {
  const found = new Map<number, string>();
  const visit = (stop: Stop): void => {
    if (stop.stop === 'step') found.set(stop.number, stop.key);
    if ('beside' in stop) stop.beside.forEach(visit);
  };
  stops.forEach(visit);
  return found;
}
