import { bound, type Frame } from './frame.ts';
import type { Each } from './generated/document.ts';
import { join } from './outline.ts';
import { pointerTo } from './pointer.ts';
import { writeAngle } from './resolve-variant.ts';
import type { Writing } from './writing.ts';

/** One pass of a loop: what it is called, and the names that are bound in it. */
interface Item {
  readonly label: string;
  readonly bindings: readonly (readonly [string, string])[];
}

/** Writes `each` out: a block with one block for each item, in order. */
export class Loops {
  readonly #writing: Writing;

  constructor(writing: Writing) {
    this.#writing = writing;
  }

  /** The block's index; undefined when there is nothing to loop over, which has been reported. */
  write(parent: number, written: Each, path: string, frame: Frame, pointer: string): number | undefined {
    const { outline, body } = this.#writing;
    const items = this.#items(written, frame, pointerTo(pointer, 'of'));
    if (items.length === 0) return undefined;
    const id = written.id ?? written.each;
    return outline.block(parent, id, join(path, id), frame, pointer, (outer) => {
      for (const item of items) {
        const within = bound(frame, item.bindings);
        const one = `${written.each}=${item.label}`;
        const inside = join(path, written.id === undefined ? one : `${written.id}.${one}`);
        const fillIn = (block: number) =>
          body(block, written.steps, inside, within, pointerTo(pointer, 'steps'));
        if (outline.block(outer, one, inside, within, pointer, fillIn, written.title) < 0) return;
      }
    });
  }

  #items(written: Each, frame: Frame, pointer: string): readonly Item[] {
    const plain = (values: readonly (string | number)[]): readonly Item[] =>
      values.map((value) => ({ label: String(value), bindings: [[written.each, String(value)]] }));
    const { variant, report } = this.#writing;
    if (typeof written.of !== 'string') {
      this.#checkListed(written.each, written.of as readonly string[], pointer);
      return plain(written.of as readonly string[]);
    }
    if (written.of === 'bores') return this.#some(plain(variant.bores), pointer);
    if (written.of === 'bores-rear-to-front') return this.#some(plain([...variant.bores].reverse()), pointer);
    if (written.of === 'plan.stops') return this.#stops(written.each, pointer);
    const listed = frame.bindings.get(written.of);
    if (listed !== undefined) return plain(listed.split(' '));
    const known = [
      'bores',
      'bores-rear-to-front',
      'plan.stops',
      ...[...frame.bindings.keys()].filter((key) => key.endsWith('.bores')),
    ];
    report.unknown('list', written.of, known, pointer);
    return [];
  }

  /** An item of a written list that stands there twice, or that is no bore where bores are meant. */
  #checkListed(name: string, items: readonly string[], pointer: string): void {
    const { variant, report } = this.#writing;
    const bores = variant.bores.map(String);
    const seen = new Map<string, number>();
    for (const [number, item] of items.entries()) {
      const at = pointerTo(pointer, number);
      const first = seen.get(item);
      if (first !== undefined) {
        report.add('duplicate-name', at, `${item} stands in this list twice.`, {
          other: [{ pointer: pointerTo(pointer, first), message: 'the other one' }],
        });
      }
      seen.set(item, number);
      if (name === 'bore' && bores.length > 0 && !bores.includes(item))
        report.unknown('bore', item, bores, at, { of: variant.title });
    }
  }

  #some(items: readonly Item[], pointer: string): readonly Item[] {
    const { variant, report } = this.#writing;
    if (items.length === 0 && !report.hasErrorAt(pointerTo(variant.pointer, 'cylinders')))
      report.add('no-crank', pointer, `${variant.title} does not say how many cylinders it has.`);
    return items;
  }

  /** The stops of the rotation plan, numbered from 1. */
  #stops(name: string, pointer: string): readonly Item[] {
    const { variant, report } = this.#writing;
    const { rotation, positions } = variant.crank;
    if (rotation === undefined) {
      // What keeps the plan from being made has been said at the variant.
      if (!report.hasErrorAt(`${variant.pointer}/`))
        report.add('no-rotation-plan', pointer, `${variant.title} has no rotation plan.`, {
          remedy: 'Write rotation: into the variant: from which mark, over which stops, and in which order.',
        });
      return [];
    }
    return rotation.stops.map((stop, number) => ({
      label: String(number + 1),
      bindings: [
        [name, String(number + 1)],
        [`${name}.rotation`, writeAngle(stop.rotation)],
        [`${name}.position`, writeAngle(stop.position)],
        [`${name}.held-by`, positions.find((one) => one.at.equals(stop.position))?.heldBy ?? ''],
        [`${name}.bores`, stop.bores.join(' ')],
      ],
    }));
  }
}
