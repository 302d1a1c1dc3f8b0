import { nearest } from '../logic/index.ts';
import type { Frame } from './frame.ts';
import type { Node } from './generated/document.ts';
import { join, type OpenNode, REST_OF_BLOCK, REST_OF_BODY } from './outline.ts';
import { pointerTo } from './pointer.ts';
import type { Writing } from './writing.ts';

/** More passes than any rework is worth; a counter is one byte. */
const MOST_TIMES = 200;

/**
 * Where work can go on instead of at a place where it cannot: the one that was probably meant, or all. The round of a loop
 * and the block of what is confirmed before the work have names that nobody writes.
 */
export function saysResumable(id: string, before: readonly string[]): string {
  const ids = [...new Set(before)].filter((one) => !one.includes('=') && one !== 'preliminary');
  const meant = nearest(id, ids);
  return meant === undefined ? `It can resume at ${ids.join(', ')}.` : `Did you mean ${meant}?`;
}

/** Writes reworks out, those of remedies and those that release holds. */
export class Reworks {
  readonly #writing: Writing;

  constructor(writing: Writing) {
    this.#writing = writing;
  }

  /**
   * The counter of a rework that may be done so many times each time the block around `beside` is entered. More than
   * 200 times is reported and taken as 200.
   */
  counter(
    name: string,
    written: string,
    beside: OpenNode | undefined,
    pointer: string,
  ): { readonly counter: number; readonly times: number } {
    const { tracked, outline, report } = this.#writing;
    const asked = Number(written);
    const times = Math.min(asked, MOST_TIMES);
    if (asked > MOST_TIMES) report.add('wrong-value', pointer, `At most ${MOST_TIMES} times.`);
    const counter = tracked.counter(name, times);
    outline.count(counter, beside);
    return { counter, times };
  }

  /**
   * The body of a rework inside a node: its end leads to the target, and everything from there to the end of the body
   * that the target is in, or of its block, is open again. Returns the index of the block, or −1 when there are too many nodes.
   */
  body(
    node: OpenNode,
    label: string,
    written: { readonly rework: readonly Node[]; readonly redo?: 'everything-after' | 'this-block' },
    target: number | undefined,
    frame: Frame,
    pointer: string,
  ): number {
    const { outline, body } = this.#writing;
    const inside = join(node.path, label);
    const at = pointerTo(pointer, 'rework');
    const index = outline.block(node.index, label, inside, frame, at, (block) =>
      body(block, written.rework, inside, frame, at),
    );
    const block = outline.nodes[index];
    if (block?.node === 'block' && target !== undefined) {
      // Where that body ends is not known until it is written out; `Outline.finish` sets it.
      block.resumes = { at: target, until: written.redo === 'this-block' ? REST_OF_BLOCK : REST_OF_BODY };
    }
    return index;
  }
}
