import type { Pack, Plan, PlanRelease } from '@ferrule/engine';
import { hazardsOf } from '../sheet/hazards.ts';
import type { Holds } from '../sheet/holds.ts';
import { roleTitle } from '../sheet/written.ts';
import { type Arrow, ASIDE, type Box } from './lay-out-panel.ts';
import type { Marks } from './marks.ts';
import { type Line, shapeOf } from './shapes.ts';
import type { Aside, Piece } from './written-level.ts';

export interface Known {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly holds: Holds;
  readonly marks: Marks;
  /** The number in the picture of the step at a node of the plan, or of the first one in a block. */
  numberOf(node: number): number | undefined;
}

export interface PanelGraph {
  readonly boxes: readonly Box[];
  readonly frames: readonly { readonly id: string; readonly frame?: string }[];
  readonly arrows: readonly Arrow[];
}

/** An end of what was written so far, from which the next piece is come to. */
interface Loose {
  readonly id: string;
  readonly label?: string;
  readonly kind?: Arrow['kind'];
}

/** Writes the pieces of one panel as boxes, frames and arrows. */
export class PanelWriter {
  readonly #known: Known;
  readonly #boxes: Box[] = [];
  readonly #frames: { id: string; frame?: string }[] = [];
  readonly #arrows: Arrow[] = [];
  /** Boxes on the ways of refutations, each with the places on them. */
  readonly #places = new Map<string, readonly string[]>();
  readonly #byNumber = new Map<number, string>();
  readonly #back: { from: string; to: number }[] = [];
  #last = 0;

  constructor(known: Known) {
    this.#known = known;
  }

  write(pieces: readonly Piece[], ends: { readonly isFirst: boolean; readonly isLast: boolean }): PanelGraph {
    let loose: readonly Loose[] = [];
    if (ends.isFirst)
      loose = [{ id: this.#box(shapeOf('end', [{ text: 'Start', bold: true }], { width: 90 }), undefined) }];
    loose = this.#pieces(pieces, loose, undefined);
    if (ends.isLast) {
      const failed = this.#known.marks.atEnd;
      const lines: Line[] = [{ text: 'End of the work', bold: true }, ...failedLines(failed)];
      const end = this.#box(
        shapeOf('end', lines, { width: failed.length > 0 ? 200 : 140, thick: failed.length > 0 }),
        undefined,
      );
      this.#join(loose, end);
    }
    for (const { from, to } of this.#back) {
      const target = this.#byNumber.get(to);
      if (target !== undefined && target !== from) this.#arrows.push({ from, to: target, kind: 'back' });
    }
    return {
      boxes: this.#boxes,
      frames: this.#frames,
      arrows: this.#arrows.map((one) => this.#withWay(one)),
    };
  }

  #box(shape: Box['shape'], frame: string | undefined, beside?: string): string {
    this.#last += 1;
    const id = `n${this.#last}`;
    this.#boxes.push({
      id,
      shape,
      ...(frame === undefined ? {} : { frame }),
      ...(beside === undefined ? {} : { beside }),
    });
    return id;
  }

  #join(loose: readonly Loose[], to: string): void {
    for (const { id, label, kind } of loose)
      this.#arrows.push({ from: id, to, kind: kind ?? 'on', ...(label === undefined ? {} : { label }) });
  }

  /** An arrow between two places that follow one another on a way is thick. */
  #withWay(arrow: Arrow): Arrow {
    const from = this.#places.get(arrow.from) ?? [];
    const to = new Set(this.#places.get(arrow.to) ?? []);
    const thick = from.some((place) => to.has(`${place.charAt(0)}${Number(place.slice(1)) + 1}`));
    return thick ? { ...arrow, thick } : arrow;
  }

  #pieces(pieces: readonly Piece[], before: readonly Loose[], frame: string | undefined): readonly Loose[] {
    let loose = before;
    for (const piece of pieces) {
      switch (piece.piece) {
        case 'step':
          loose = this.#step(piece, loose, frame);
          break;
        case 'hold':
          loose = this.#hold(piece, loose, frame);
          break;
        case 'frame':
          loose = this.#frame(piece, loose, frame);
          break;
        case 'choice':
          loose = this.#choice(piece, loose, frame);
          break;
      }
    }
    return loose;
  }

  #step(piece: Extract<Piece, { piece: 'step' }>, before: readonly Loose[], frame: string | undefined) {
    const { plan, marks } = this.#known;
    const nodes = piece.steps.map((step) => step.index);
    const failed = marks.failedAt(nodes);
    const places = marks.placesOf(nodes);
    const isUnreached = marks.isUnreached(nodes);
    const [first] = piece.steps;
    const [worst] = hazardsOf(
      plan,
      piece.steps.flatMap((step) => step.hazards),
    );
    const checks = first?.check?.check === 'tolerance' ? plan.tolerances[first.check.tolerance] : undefined;
    const lines: Line[] = [
      ...failedLines(failed),
      ...(places.length === 0 ? [] : [{ text: `way ${places.join(', ')}`, bold: true }]),
      ...(isUnreached ? [{ text: 'NOT REACHED', bold: true }] : []),
      ...(worst === undefined ? [] : [{ text: worst.signal.toUpperCase(), bold: true }]),
      ...(piece.onlyIf === '' ? [] : [{ text: `only if ${piece.onlyIf}:`, italic: true }]),
      { text: `${piece.number}. ${piece.says}` },
      ...(checks === undefined ? [] : [{ text: `judged: ${checks.title}, ${checks.says}`, italic: true }]),
      ...(first?.witness === undefined
        ? []
        : [{ text: `witness: ${roleTitle(plan, first.witness)}`, italic: true }]),
    ];
    const id = this.#box(
      shapeOf('step', lines, { thick: failed.length > 0 || places.length > 0, dashed: isUnreached }),
      frame,
    );
    this.#places.set(id, places);
    this.#byNumber.set(piece.number, id);
    this.#join(before, id);
    for (const aside of piece.asides) this.#aside(aside, id, frame);
    return [{ id }];
  }

  #aside(aside: Aside, step: string, frame: string | undefined): void {
    const { holds, marks } = this.#known;
    if (aside.aside === 'hold') {
      const lines = [{ text: `if ${aside.when}:`, italic: true }, ...this.#holdLines(aside.hold)];
      const id = this.#box(shapeOf('hold', lines, { width: ASIDE }), frame, step);
      this.#arrows.push({ from: step, to: id, kind: 'aside' });
      for (const way of this.#known.plan.holds[aside.hold]?.releases ?? []) this.#wayBack(way, id);
      return;
    }
    const nodes = aside.steps.flatMap((one) => one.nodes.map((node) => node.index));
    const failed = marks.failedAt(nodes);
    const places = marks.placesOf(nodes);
    const to = this.#known.numberOf(aside.resumesAt);
    const rounds = aside.attempts - 1;
    const times = rounds === 0 ? 'not at all' : rounds === 1 ? 'once' : `at most ${rounds} times`;
    const lines: Line[] = [
      ...failedLines(failed),
      ...(places.length === 0 ? [] : [{ text: `way ${places.join(', ')}`, bold: true }]),
      { text: `if ${aside.when}:`, italic: true },
      { text: `Rework, ${times}`, bold: true },
      ...aside.steps.map((one) => ({ text: `• ${one.says}` })),
      { text: `then again from ${to ?? '?'}; after that hold ${holds.label(aside.exhausted)}` },
    ];
    const id = this.#box(
      shapeOf('rework', lines, { width: ASIDE, thick: failed.length > 0 || places.length > 0 }),
      frame,
      step,
    );
    this.#places.set(id, places);
    this.#arrows.push({ from: step, to: id, kind: 'aside' });
    if (to !== undefined) this.#back.push({ from: id, to });
  }

  #wayBack(way: PlanRelease, from: string): void {
    const body = way.by === 'rework' ? this.#known.plan.nodes[way.body] : undefined;
    const to =
      body?.node === 'block' && body.resumes !== undefined
        ? this.#known.numberOf(body.resumes.at)
        : undefined;
    if (to !== undefined) this.#back.push({ from, to });
  }

  #holdLines(hold: number): readonly Line[] {
    const { plan, holds } = this.#known;
    const declared = plan.holds[hold];
    return [
      { text: `HOLD ${holds.label(hold)}${declared?.safety === true ? ', safety' : ''}`, bold: true },
      ...(declared?.releases ?? []).map((way) => ({ text: releaseWords(this.#known, way) })),
    ];
  }

  #hold(piece: Extract<Piece, { piece: 'hold' }>, before: readonly Loose[], frame: string | undefined) {
    const { marks } = this.#known;
    const nodes = piece.nodes.map((node) => node.index);
    const failed = marks.failedAt(nodes);
    const places = marks.placesOf(nodes);
    const id = this.#box(
      shapeOf(
        'hold',
        [
          ...failedLines(failed),
          ...(places.length === 0 ? [] : [{ text: `way ${places.join(', ')}`, bold: true }]),
          { text: `${piece.number}. Hold point` },
          ...this.#holdLines(piece.hold),
        ],
        { thick: failed.length > 0 || places.length > 0 },
      ),
      frame,
    );
    this.#places.set(id, places);
    this.#byNumber.set(piece.number, id);
    this.#join(before, id);
    return [{ id }];
  }

  #frame(piece: Extract<Piece, { piece: 'frame' }>, before: readonly Loose[], frame: string | undefined) {
    this.#last += 1;
    const own = `f${this.#last}`;
    this.#frames.push({ id: own, ...(frame === undefined ? {} : { frame }) });
    const head = this.#box(
      shapeOf('head', [
        ...(piece.title === '' ? [] : [{ text: piece.title, bold: true }]),
        ...(piece.over === undefined ? [] : [{ text: `${piece.over}, one after the other` }]),
        ...(piece.onlyIf === '' ? [] : [{ text: `only if ${piece.onlyIf}`, italic: true }]),
      ]),
      own,
    );
    this.#join(before, head);
    const after = this.#pieces(piece.inside, [{ id: head }], own);
    const round = after[0];
    if (piece.over !== undefined && round !== undefined && round.id !== head)
      this.#arrows.push({ from: round.id, to: head, kind: 'round', label: 'next' });
    return piece.onlyIf === '' ? after : [...after, { id: head, label: 'else', kind: 'past' as const }];
  }

  #choice(piece: Extract<Piece, { piece: 'choice' }>, before: readonly Loose[], frame: string | undefined) {
    const id = this.#box(shapeOf('choice', [{ text: 'One of these:', bold: true }], { width: 150 }), frame);
    this.#join(before, id);
    return piece.cases.flatMap((one) => {
      const head = this.#box(
        shapeOf('head', [{ text: one.when === 'otherwise' ? 'otherwise' : `if ${one.when}`, italic: true }], {
          width: 180,
        }),
        frame,
      );
      this.#arrows.push({ from: id, to: head, kind: 'on' });
      return this.#pieces(one.inside, [{ id: head }], frame);
    });
  }
}

const failedLines = (failed: readonly number[]): readonly Line[] =>
  failed.length === 0 ? [] : [{ text: `✗ PROOF FAILED: ${failed.join(', ')}`, bar: true }];

/** One way on from a hold, in a few words. */
export function releaseWords({ plan, numberOf }: Pick<Known, 'plan' | 'numberOf'>, way: PlanRelease): string {
  switch (way.by) {
    case 'concession':
      return `concession: ${roleTitle(plan, way.role)}`;
    case 'witness':
      return `witness: ${roleTitle(plan, way.role)}`;
    case 'rework': {
      const body = plan.nodes[way.body];
      const to = body?.node === 'block' && body.resumes !== undefined ? numberOf(body.resumes.at) : undefined;
      const by = way.role === undefined ? '' : `, ${roleTitle(plan, way.role)}`;
      return `rework ${way.times}×${by}, again from ${to ?? '?'}`;
    }
  }
}
