import { fill } from './fill.ts';
import type { Frame } from './frame.ts';
import type { BlockNode, ChooseNode, HoldNode, PlanNode, StepNode } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';

/** Where a rework ends, until `finish` knows: at the end of the body that its target is in, or of its block. */
export const REST_OF_BODY = -1;
export const REST_OF_BLOCK = -2;

/** More steps than any workshop procedure has; keeps a pack from exhausting memory. */
const MOST_NODES = 50_000;

/** Blocks inside one another, procedures performed included; each level is written out inside the one before. */
const MOST_LEVELS = 100;

/** A part of the plan that is still being written. */
export type Open<T> = { -readonly [K in keyof T]: T[K] };
export type OpenNode = Open<BlockNode> | Open<StepNode> | Open<ChooseNode> | Open<HoldNode>;

/** The nodes of a plan while they are written, in the order of writing: what is inside a node follows it at once. */
export class Outline {
  readonly nodes: OpenNode[] = [];
  /** By node: the frame in which it was written. */
  readonly frames: Frame[] = [];
  readonly #variant: ResolvedVariant;
  readonly #report: Report;
  #full = false;
  #levels = 0;

  constructor(variant: ResolvedVariant, report: Report) {
    this.#variant = variant;
    this.#report = report;
  }

  /** Whether a node has been refused because there are too many. */
  get isFull(): boolean {
    return this.#full;
  }

  /** Adds a node at the place that `base` gave it; false, with a diagnostic the first time, when there are too many. */
  add(node: OpenNode, frame: Frame): boolean {
    if (frame.bore !== undefined) node.bore = frame.bore;
    if (this.nodes.length >= MOST_NODES) {
      if (!this.#full)
        this.#report.add(
          'too-many-steps',
          node.pointer,
          `Written out, the procedure has more than ${MOST_NODES} steps.`,
        );
      this.#full = true;
      return false;
    }
    this.nodes.push(node);
    this.frames.push(frame);
    return true;
  }

  /**
   * What every kind of node has, for the node that is added next. It is spread last: after a spread, V8 adds each
   * further property slowly.
   */
  base(parent: number, id: string, path: string, pointer: string) {
    return {
      index: this.nodes.length,
      end: this.nodes.length + 1,
      parent,
      next: -1,
      id,
      path,
      pointer,
    };
  }

  /**
   * Adds a block, lets `fillIn` add what is in it, and joins that into a sequence. Returns its index, or −1 when there
   * are too many nodes.
   */
  block(
    parent: number,
    id: string,
    path: string,
    frame: Frame,
    pointer: string,
    fillIn: (index: number) => void,
    title?: string,
  ): number {
    const node: Open<BlockNode> = {
      node: 'block',
      first: -1,
      counters: [],
      ...this.base(parent, id, path, pointer),
    };
    if (title !== undefined)
      node.title = fill(title, frame, this.#variant, pointerTo(pointer, 'title'), this.#report);
    if (this.#levels >= MOST_LEVELS) {
      this.#report.add(
        'too-many-steps',
        pointer,
        `Written out, blocks and performed procedures stand more than ${MOST_LEVELS} deep in one another here.`,
        { remedy: 'Perform one procedure after the other, not each inside the one before.' },
      );
      return -1;
    }
    if (!this.add(node, frame)) return -1;
    this.#levels += 1;
    fillIn(node.index);
    this.#levels -= 1;
    this.close(node);
    let before: OpenNode | undefined;
    for (const index of this.children(node.index)) {
      if (before === undefined) node.first = index;
      else before.next = index;
      before = this.nodes[index];
    }
    return node.index;
  }

  /** Ends a node: what is added from now on is not inside it. */
  close(node: OpenNode): void {
    node.end = this.nodes.length;
  }

  /** The direct children of a node that have been added so far, in order. */
  children(parent: number): readonly number[] {
    const found: number[] = [];
    const until = this.nodes.length;
    for (let index = parent + 1; index < until; index = this.nodes[index]?.end ?? until) {
      if (this.nodes[index]?.parent === parent) found.push(index);
    }
    return found;
  }

  /** A node of this id beside the node and before it, or the node itself. */
  sibling(node: OpenNode, id: string): number | undefined {
    if (node.id === id) return node.index;
    return this.children(node.parent).find((index) => this.nodes[index]?.id === id && index <= node.index);
  }

  /** A node of this id beside the node or, further out, beside a block around it, and not after it. */
  outward(node: OpenNode, id: string): number | undefined {
    for (
      let inner: OpenNode | undefined = node;
      inner !== undefined && inner.parent >= 0;
      inner = this.nodes[inner.parent]
    ) {
      const found = this.sibling(inner, id);
      if (found !== undefined) return found;
    }
    return undefined;
  }

  /** The ids that `outward` finds something for. */
  before(node: OpenNode): readonly string[] {
    const ids: string[] = [];
    for (
      let inner: OpenNode | undefined = node;
      inner !== undefined && inner.parent >= 0;
      inner = this.nodes[inner.parent]
    ) {
      const { index: last } = inner;
      for (const index of this.children(inner.parent))
        if (index <= last) ids.push(this.nodes[index]?.id ?? '');
    }
    return ids;
  }

  /** Counts the passes of a rework from anew whenever the block around the node is entered. */
  count(counter: number, node: OpenNode | undefined): void {
    const around = this.nodes[node?.parent ?? -1];
    if (around?.node === 'block') around.counters = [...around.counters, counter];
  }

  /** The nodes when all are written; only now is it known where the bodies end that reworks resume in. */
  finish(): readonly PlanNode[] {
    for (const node of this.nodes) {
      if (node.node !== 'block' || node.resumes === undefined) continue;
      const { at, until } = node.resumes;
      const block = this.nodes[this.nodes[at]?.parent ?? -1];
      const around = until === REST_OF_BLOCK && block !== undefined ? block : this.#bodyAround(at);
      node.resumes = { at, until: around.end };
    }
    return this.nodes;
  }

  /** The outermost block around a node, or the body of the rework that it is in. */
  #bodyAround(index: number): { readonly end: number } {
    let around = this.nodes[this.nodes[index]?.parent ?? -1];
    for (; around !== undefined; around = this.nodes[around.parent]) {
      if (around.parent < 0 || (around.node === 'block' && around.resumes !== undefined)) return around;
    }
    return { end: this.nodes.length };
  }
}

/** The path of a node: the ids of what is around it and its own, `remove-pumps/bore=2/lift-pump`. */
export const join = (path: string, id: string): string => (path === '' ? id : `${path}/${id}`);
