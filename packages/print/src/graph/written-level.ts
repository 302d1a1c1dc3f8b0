import type { BlockNode, Decision, Pack, Plan, PlanNode, Remedy, StepNode } from '@ferrule/engine';
import { conditionInRework, decisionInWords, settled } from '../decision-words.ts';
import { mergeTexts } from '../merge-texts.ts';
import { titleOfBlock } from '../sheet/worklist.ts';

/** The steps of a plan as they are written: a loop once, however many bores it is for. */
export type Piece =
  | {
      readonly piece: 'step';
      readonly number: number;
      readonly says: string;
      readonly onlyIf: string;
      /** The nodes of the plan that this step stands for. */
      readonly steps: readonly StepNode[];
      readonly asides: readonly Aside[];
    }
  | {
      readonly piece: 'hold';
      readonly number: number;
      readonly hold: number;
      readonly nodes: readonly PlanNode[];
    }
  | {
      readonly piece: 'frame';
      readonly title: string;
      /** For a loop: what it goes over. */
      readonly over?: string;
      readonly onlyIf: string;
      readonly inside: readonly Piece[];
    }
  | {
      readonly piece: 'choice';
      readonly cases: readonly { readonly when: string; readonly inside: readonly Piece[] }[];
      readonly hasOtherwise: boolean;
    };

/** What a step leads to when it does not conform. */
export type Aside =
  | { readonly aside: 'hold'; readonly when: string; readonly hold: number }
  | {
      readonly aside: 'rework';
      readonly when: string;
      readonly attempts: number;
      readonly exhausted: number;
      readonly steps: readonly { readonly says: string; readonly nodes: readonly StepNode[] }[];
      /** The node of the plan at which the job goes on. */
      readonly resumesAt: number;
    };

/** Folds a plan to the level at which its procedure is written. */
export function writtenLevel(plan: Plan, pack: Pack): readonly Piece[] {
  const root = plan.nodes[0];
  return root?.node === 'block' ? new Folder(plan, pack).fold([childrenOf(plan, root)]) : [];
}

function childrenOf(plan: Plan, block: PlanNode | undefined): readonly PlanNode[] {
  const found: PlanNode[] = [];
  if (block?.node !== 'block') return found;
  for (let at = block.first; at >= 0; ) {
    const node = plan.nodes[at];
    if (node === undefined) break;
    found.push(node);
    at = node.next;
  }
  return found;
}

class Folder {
  readonly #plan: Plan;
  readonly #pack: Pack;
  #last = 0;

  constructor(plan: Plan, pack: Pack) {
    this.#plan = plan;
    this.#pack = pack;
  }

  fold(lists: readonly (readonly PlanNode[])[]): readonly Piece[] {
    const byId = new Map<string, PlanNode[]>();
    for (const list of lists)
      for (const node of list) {
        const known = byId.get(node.id);
        if (known === undefined) byId.set(node.id, [node]);
        else known.push(node);
      }
    return [...byId.values()].flatMap((nodes) => this.#piece(nodes));
  }

  #piece(nodes: readonly PlanNode[]): readonly Piece[] {
    const [first] = nodes;
    switch (first?.node) {
      case 'step':
        return [this.#step(nodes.filter((node) => node.node === 'step'))];
      case 'hold':
        this.#last += 1;
        return [{ piece: 'hold', number: this.#last, hold: first.hold, nodes }];
      case 'choose':
        return this.#choice(nodes.filter((node) => node.node === 'choose'));
      case 'block':
        return this.#block(nodes.filter((node) => node.node === 'block'));
      default:
        return [];
    }
  }

  #step(steps: readonly StepNode[]): Piece {
    this.#last += 1;
    return {
      piece: 'step',
      number: this.#last,
      says: oneText(steps.map(sayingOf)),
      onlyIf: this.#onlyIf(steps),
      steps,
      asides: this.#asides(steps),
    };
  }

  #block(blocks: readonly BlockNode[]): readonly Piece[] {
    const [first] = blocks;
    if (first === undefined) return [];
    const lists = blocks.map((block) => childrenOf(this.#plan, block));
    const passes = lists.flat();
    const isLoop = passes.some((node) => node.node === 'block' && node.pointer === first.pointer);
    if (!isLoop) {
      const inside = this.fold(lists);
      const onlyIf = this.#onlyIf(blocks);
      const title = titleOfBlock(this.#pack, first);
      return title === undefined && onlyIf === ''
        ? inside
        : [{ piece: 'frame', title: title ?? '', onlyIf, inside }];
    }
    const values = [...new Set(passes.map((pass) => pass.id.replace(/^.*=/, '')))];
    const name = (passes[0]?.id ?? '').replace(/=.*$/, '').replace(/^.*\./, '').replaceAll('-', ' ');
    const title = passes.find((pass) => pass.node === 'block' && pass.title !== undefined);
    const inside = this.fold(passes.map((pass) => childrenOf(this.#plan, pass)));
    return [
      {
        piece: 'frame',
        title: title?.node === 'block' ? (title.title ?? '') : '',
        over: `each ${name}: ${values.join(', ')}`,
        onlyIf: this.#onlyIf(blocks),
        inside,
      },
    ];
  }

  #choice(nodes: readonly Extract<PlanNode, { node: 'choose' }>[]): readonly Piece[] {
    const cases = new Map<number, { when: string[]; bodies: PlanNode[] }>();
    const otherwise: PlanNode[] = [];
    let isSettled = true;
    for (const node of nodes) {
      let isOver = false;
      for (const [number, { when, body }] of node.cases.entries()) {
        const fixed = settled(when);
        if (fixed === false || isOver) continue;
        if (fixed === true) isOver = true;
        else isSettled = false;
        const one = cases.get(number) ?? { when: [], bodies: [] };
        one.when.push(fixed === true ? (node.cases[number]?.says ?? '') : this.#words(when));
        one.bodies.push(...this.#body(body));
        cases.set(number, one);
      }
      if (!isOver && node.otherwise >= 0) otherwise.push(...this.#body(node.otherwise));
    }
    const inside = (bodies: readonly PlanNode[]): readonly Piece[] =>
      this.fold(bodies.map((body) => childrenOf(this.#plan, body)));
    const all = [
      ...[...cases.values()].map((one) => ({ when: oneText(one.when), inside: inside(one.bodies) })),
      ...(otherwise.length === 0 ? [] : [{ when: 'otherwise', inside: inside(otherwise) }]),
    ];
    const [only] = all;
    if (isSettled && all.length === 1 && only !== undefined) return only.inside;
    return [{ piece: 'choice', cases: all, hasOtherwise: otherwise.length > 0 }];
  }

  #body(index: number): readonly PlanNode[] {
    return this.#plan.nodes.slice(index, index + 1);
  }

  #words(decision: Decision): string {
    return decisionInWords(this.#plan, this.#pack, decision);
  }

  #onlyIf(nodes: readonly PlanNode[]): string {
    const words = nodes.flatMap((node) => (node.onlyIf === undefined ? [] : [this.#words(node.onlyIf)]));
    return words.length === 0 ? '' : oneText(words);
  }

  #asides(steps: readonly StepNode[]): readonly Aside[] {
    const found: Aside[] = [];
    const add = (when: string, pick: (step: StepNode) => Remedy | undefined): void => {
      const remedies = steps.flatMap((step) => pick(step) ?? []);
      const [first] = remedies;
      if (first === undefined) return;
      if (first.remedy === 'hold') found.push({ aside: 'hold', when, hold: first.hold });
      else found.push(this.#rework(when, first, remedies));
    };
    const check = steps[0]?.check;
    if (check?.check === 'tolerance') {
      const { high, low } = check;
      const isOne =
        high === undefined ||
        low === undefined ||
        (high.remedy === 'hold' && low.remedy === 'hold' && high.hold === low.hold) ||
        (high.remedy === 'rework' && low.remedy === 'rework' && high.body === low.body);
      const side = (name: 'high' | 'low' | 'inconclusive') => (step: StepNode) =>
        step.check?.check === 'tolerance' ? step.check[name] : undefined;
      if (isOne) add('nonconforming', (step) => side('high')(step) ?? side('low')(step));
      else {
        add('too high', side('high'));
        add('too low', side('low'));
      }
      add('inconclusive', side('inconclusive'));
    } else {
      add('nonconforming', (step) =>
        step.check === undefined || step.check.check === 'tolerance' ? undefined : step.check.nonconforming,
      );
    }
    add('entry struck', (step) => step.struck);
    return found;
  }

  #rework(when: string, first: Extract<Remedy, { remedy: 'rework' }>, remedies: readonly Remedy[]): Aside {
    const byPlace = new Map<string, StepNode[]>();
    let resumesAt = -1;
    for (const remedy of remedies) {
      const body = remedy.remedy === 'rework' ? this.#plan.nodes[remedy.body] : undefined;
      if (body?.node !== 'block') continue;
      if (resumesAt < 0) resumesAt = body.resumes?.at ?? -1;
      for (let at = body.index + 1; at < body.end; at++) {
        const node = this.#plan.nodes[at];
        if (node?.node !== 'step') continue;
        byPlace.set(node.pointer, [...(byPlace.get(node.pointer) ?? []), node]);
      }
    }
    return {
      aside: 'rework',
      when,
      attempts: first.attempts,
      exhausted: first.exhausted,
      steps: [...byPlace.values()].map((nodes) => {
        const says = oneText(nodes.map(sayingOf));
        const when = nodes.flatMap((node) => conditionInRework(this.#plan, this.#pack, node) ?? []);
        return { says: when.length === 0 ? says : `only if ${oneText(when)}: ${says}`, nodes };
      }),
      resumesAt,
    };
  }
}

function sayingOf(step: StepNode): string {
  const said = step.title ?? step.act?.says;
  if (said !== undefined) return said;
  const words = step.id.replaceAll('-', ' ');
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** Texts as one: what differs is N where it is a number, and all that it may be otherwise. */
export function oneText(texts: readonly string[]): string {
  const { pieces, gaps } = mergeTexts(texts);
  return pieces
    .map((piece) => {
      if (typeof piece === 'string') return piece;
      const values = [...new Set(gaps[piece] ?? [])].filter((value) => value.trim() !== '');
      return values.every((value) => /^\d+$/.test(value)) ? 'N' : values.join(' or ');
    })
    .join('');
}
