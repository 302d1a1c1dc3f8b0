import { type Decisions, saysCondition } from './decisions.ts';
import type { Frame } from './frame.ts';
import type { Choose } from './generated/document.ts';
import { join, type Open } from './outline.ts';
import type { ChooseNode, Test } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Writing } from './writing.ts';

const MOST_CASES = 250;
const always: Test = { all: [] };

/** Writes `choose` out: a node with one block for each case that this variant can come to. */
export class Choices {
  readonly #writing: Writing;
  readonly #decisions: Decisions;

  constructor(writing: Writing, decisions: Decisions) {
    this.#writing = writing;
    this.#decisions = decisions;
  }

  write(parent: number, written: Choose, path: string, frame: Frame, pointer: string): number | undefined {
    const { outline, body } = this.#writing;
    const inside = join(path, written.choose);
    const node: Open<ChooseNode> = {
      node: 'choose',
      cases: [],
      otherwise: -1,
      ...outline.base(parent, written.choose, inside, pointer),
    };
    if (!outline.add(node, frame)) return undefined;
    const cases: ChooseNode['cases'][number][] = [];
    written.cases.slice(0, MOST_CASES).forEach((one, number) => {
      const at = pointerTo(pointer, 'cases', number);
      const when = this.#decisions.of(one.when, frame, pointerTo(at, 'when'));
      if (when === false) return;
      const label = `case-${number + 1}`;
      const path = join(inside, label);
      const block = outline.block(node.index, label, path, frame, at, (block) =>
        body(block, one.steps, path, frame, pointerTo(at, 'steps')),
      );
      cases.push({
        when: when === true ? { by: 'test', test: always } : when,
        says: saysCondition(one.when),
        body: block,
      });
    });
    node.cases = cases;
    const { otherwise } = written;
    if (otherwise !== undefined) {
      const path = join(inside, 'otherwise');
      node.otherwise = outline.block(node.index, 'otherwise', path, frame, pointer, (block) =>
        body(block, otherwise, path, frame, pointerTo(pointer, 'otherwise')),
      );
    }
    outline.close(node);
    return node.index;
  }
}
