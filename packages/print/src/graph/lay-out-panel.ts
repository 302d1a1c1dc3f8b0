import { Graph, layout } from '@dagrejs/dagre';
import { BOX, type Shape } from './shapes.ts';

export interface Box {
  readonly id: string;
  readonly shape: Shape;
  /** The frame that it stands in. */
  readonly frame?: string;
  /** The box beside which it stands: a rework or a hold. */
  readonly beside?: string;
}

export interface Arrow {
  readonly from: string;
  readonly to: string;
  /** On to the next, aside to a rework or hold, back from one, round to the head of a loop, past what is left out. */
  readonly kind: 'on' | 'aside' | 'back' | 'round' | 'past';
  readonly label?: string;
  readonly thick?: boolean;
}

interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Drawn {
  readonly width: number;
  readonly height: number;
  readonly boxes: readonly (Point & { readonly box: Box })[];
  readonly frames: readonly (Point & {
    readonly id: string;
    readonly width: number;
    readonly height: number;
  })[];
  readonly arrows: readonly { readonly arrow: Arrow; readonly points: readonly Point[] }[];
}

/** Room left of a step for the way round a loop, between a step and what stands beside it, and right of that. */
const ROUND = 24;
const BETWEEN = 26;
export const ASIDE = 216;
const BACK = 34;
/** What stands beside a step begins this much lower, so that arrows back reach the step above it. */
const LOWER = 13;

/**
 * Places the boxes of a panel from the top down. The way on, frames and choices are laid out as a layered graph; what
 * stands beside a step, and the arrows back from there, keep to lanes of their own to its right, and the way round a loop
 * to its left, so that the way on stays straight.
 */
export function layOutPanel(
  boxes: readonly Box[],
  frames: readonly { readonly id: string; readonly frame?: string }[],
  arrows: readonly Arrow[],
): Drawn {
  const asides = new Map<string, Box[]>();
  for (const box of boxes)
    if (box.beside !== undefined) asides.set(box.beside, [...(asides.get(box.beside) ?? []), box]);
  const main = boxes.filter((box) => box.beside === undefined);
  const width = ROUND + BOX + (asides.size === 0 ? ROUND : BETWEEN + ASIDE + BACK);
  const graph = new Graph({ compound: true, multigraph: true });
  graph.setGraph({ rankdir: 'TB', nodesep: 20, ranksep: 24, edgesep: 10, marginx: 10, marginy: 8 });
  for (const { id } of frames) graph.setNode(id, { width: 0, height: 0 });
  for (const { id, shape } of main) {
    const stack = (asides.get(id) ?? []).reduce((sum, one) => sum + one.shape.height + 8, LOWER - 8);
    graph.setNode(id, { width, height: Math.max(shape.height, stack) });
  }
  for (const { id, frame } of [...frames, ...main]) if (frame !== undefined) graph.setParent(id, frame);
  for (const [index, arrow] of arrows.entries())
    if (arrow.kind === 'on' || arrow.kind === 'past')
      graph.setEdge(
        arrow.from,
        arrow.to,
        { weight: arrow.kind === 'on' ? 20 : 1, minlen: 1, width: 0, height: 0 },
        String(index),
      );
  layout(graph);

  const placed: (Point & { readonly box: Box })[] = [];
  for (const box of main) {
    const { x = 0, y = 0, height } = graph.node(box.id);
    const left = x - width / 2;
    const top = y - height / 2;
    placed.push({ box, x: left + ROUND + BOX / 2, y: top + box.shape.height / 2 });
    let down = top + LOWER;
    for (const aside of asides.get(box.id) ?? []) {
      placed.push({
        box: aside,
        x: left + ROUND + BOX + BETWEEN + aside.shape.width / 2,
        y: down + aside.shape.height / 2,
      });
      down += aside.shape.height + 8;
    }
  }
  const size = graph.graph();
  const shift = ROUND + BOX / 2 - width / 2;
  const at = new Map(placed.map((one) => [one.box.id, one]));
  let lane = 0;
  return {
    width: size.width ?? 0,
    height: size.height ?? 0,
    boxes: placed,
    frames: frames.map(({ id }) => {
      const { x = 0, y = 0, width: wide = 0, height = 0 } = graph.node(id);
      return { id, x: x - wide / 2, y: y - height / 2, width: wide, height };
    }),
    arrows: arrows.flatMap((arrow, index) => {
      const from = at.get(arrow.from);
      const to = at.get(arrow.to);
      if (from === undefined || to === undefined) return [];
      if (arrow.kind === 'back' || arrow.kind === 'round') lane += 1;
      const points = pointsOf(arrow, from, to, lane, () =>
        (graph.edge(arrow.from, arrow.to, String(index)).points ?? [])
          .slice(1, -1)
          .map(({ x, y }: Point) => ({ x: x + shift, y })),
      );
      return [{ arrow, points }];
    }),
  };
}

type Placed = Point & { readonly box: Box };

const half = (one: Placed) => ({ wide: one.box.shape.width / 2, high: one.box.shape.height / 2 });

function pointsOf(
  arrow: Arrow,
  from: Placed,
  to: Placed,
  lane: number,
  between: () => readonly Point[],
): readonly Point[] {
  switch (arrow.kind) {
    case 'aside': {
      // Level with the aside where the step reaches down so far, and otherwise out of its lower corner.
      const y = to.y - half(to).high + 9;
      const start = Math.min(y, from.y + half(from).high - 4);
      const out = from.x + half(from).wide;
      const turn = out + BETWEEN / 2;
      const end = { x: to.x - half(to).wide, y };
      return start === y
        ? [{ x: out, y }, end]
        : [{ x: out, y: start }, { x: turn, y: start }, { x: turn, y }, end];
    }
    case 'back': {
      const x = from.x + half(from).wide + 8 + (lane % 4) * 6;
      const y = to.y - half(to).high + 5;
      const start = from.y + half(from).high - 8;
      return [
        { x: from.x + half(from).wide, y: start },
        { x, y: start },
        { x, y },
        { x: to.x + half(to).wide, y },
      ];
    }
    case 'round': {
      const x = Math.min(from.x - half(from).wide, to.x - half(to).wide) - 8 - (lane % 3) * 5;
      return [
        { x: from.x - half(from).wide, y: from.y },
        { x, y: from.y },
        { x, y: to.y },
        { x: to.x - half(to).wide, y: to.y },
      ];
    }
    case 'on':
    case 'past': {
      const aside = arrow.kind === 'past' ? half(from).wide - 12 : 0;
      const start = { x: from.x - aside, y: from.y + half(from).high };
      const end = { x: to.x - (arrow.kind === 'past' ? half(to).wide - 12 : 0), y: to.y - half(to).high };
      const isStraight = Math.abs(start.x - end.x) < 1 && arrow.kind === 'on';
      return [start, ...(isStraight ? [] : between()), end];
    }
  }
}
