import type { Frame } from './frame.ts';
import type { Open } from './outline.ts';
import type { StepNode } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Writing } from './writing.ts';

const lists = [
  ['equipment', 'In hand and fit for use'],
  ['supplies', 'In hand'],
  ['spares', 'In hand before stripping'],
] as const;

/** Writes what is confirmed before and after the steps of a job, each as a step without a check. */
export class Confirmations {
  readonly #writing: Writing;

  constructor(writing: Writing) {
    this.#writing = writing;
  }

  /** The block of preliminary requirements: hazards, conditions, what has to be in hand. */
  before(parent: number, frame: Frame): void {
    const { preliminary } = frame.document;
    if (preliminary === undefined) return;
    const { outline, names } = this.#writing;
    const pointer = pointerTo(frame.pointer, 'preliminary');
    const id = 'preliminary';
    const fillIn = (block: number): void => {
      const safety = pointerTo(pointer, 'safety');
      names.hazards(preliminary.safety, safety);
      if (preliminary.safety.length > 0) this.#hazards(block, preliminary.safety, frame, safety);
      this.#conditions(block, id, preliminary.conditions, frame, pointerTo(pointer, 'conditions'));
      for (const [key, words] of lists) {
        const at = pointerTo(pointer, key);
        const titles = names.titles(key, preliminary[key], at);
        if (titles.length > 0)
          this.#confirm(block, key, `${id}/${key}`, `${words}: ${titles.join('; ')}.`, frame, at);
      }
    };
    outline.block(parent, id, id, frame, pointer, fillIn, 'Preliminary requirements');
  }

  /** The block of what is confirmed when the steps are done. */
  after(parent: number, frame: Frame): void {
    const ids = frame.document.afterwards ?? [];
    if (ids.length === 0) return;
    const pointer = pointerTo(frame.pointer, 'afterwards');
    const id = 'afterwards';
    const fillIn = (block: number) => this.#conditions(block, id, ids, frame, pointer);
    this.#writing.outline.block(parent, id, id, frame, pointer, fillIn, 'Requirements after job completion');
  }

  #conditions(block: number, path: string, ids: readonly string[], frame: Frame, pointer: string): void {
    for (const { id, text, at } of this.#writing.names.conditions(ids, pointer))
      this.#confirm(block, id, `${path}/${id}`, text, frame, at);
  }

  #hazards(block: number, hazards: readonly string[], frame: Frame, pointer: string): void {
    const node = this.#node(block, 'safety', 'preliminary/safety', hazards, pointer);
    node.title = 'The hazards of this work are read and understood.';
    this.#writing.outline.add(node, frame);
  }

  #confirm(block: number, id: string, path: string, says: string, frame: Frame, pointer: string): void {
    const node = this.#node(block, id, path, [], pointer);
    node.act = { act: 'do', says };
    this.#writing.outline.add(node, frame);
  }

  #node(
    parent: number,
    id: string,
    path: string,
    hazards: readonly string[],
    pointer: string,
  ): Open<StepNode> {
    return {
      node: 'step',
      hazards,
      acknowledge: hazards.length > 0,
      guards: [],
      effects: [],
      invariants: [],
      operations: [],
      uses: [],
      entries: [],
      disturbs: [],
      ...this.#writing.outline.base(parent, id, path, pointer),
    };
  }
}
