import { Choices } from './choices.ts';
import { Confirmations } from './confirmations.ts';
import { crossReference } from './cross-references.ts';
import { Decisions } from './decisions.ts';
import { ElapsedTimes } from './elapsed.ts';
import type { Frame } from './frame.ts';
import type { Block, Node } from './generated/document.ts';
import { Loops } from './loops.ts';
import { join, Outline } from './outline.ts';
import { PackNames } from './pack-names.ts';
import { Performs } from './performs.ts';
import type { PlanHold, PlanNode } from './plan.ts';
import { PlanHolds } from './plan-holds.ts';
import { pointerTo } from './pointer.ts';
import { Remedies } from './remedies.ts';
import { Reworks } from './reworks.ts';
import { StepChecks } from './step-checks.ts';
import { Steps } from './steps.ts';
import type { Parts, Writing } from './writing.ts';

/** Writes the steps of a procedure out for one variant: the nodes of a plan, in the order of writing. */
export class Unroll {
  readonly #writing: Writing;
  readonly #decisions: Decisions;
  readonly #loops: Loops;
  readonly #performs: Performs;
  readonly #choices: Choices;
  readonly #holds: PlanHolds;
  readonly #steps: Steps;

  constructor(parts: Parts) {
    const { pack, variant, report } = parts;
    const writing: Writing = {
      ...parts,
      outline: new Outline(variant, report),
      names: new PackNames(pack, variant, report),
      body: (parent, nodes, path, frame, pointer) => this.#body(parent, nodes, path, frame, pointer),
    };
    const reworks = new Reworks(writing);
    const holds = new PlanHolds(writing, reworks);
    const remedies = new Remedies(writing, holds, reworks);
    this.#writing = writing;
    this.#decisions = new Decisions(parts);
    this.#loops = new Loops(writing);
    this.#performs = new Performs(writing);
    this.#choices = new Choices(writing, this.#decisions);
    this.#holds = holds;
    this.#steps = new Steps(writing, new StepChecks(writing, remedies), remedies);
  }

  /** The holds of the plan, complete when `procedure` has been called. */
  get holds(): readonly PlanHold[] {
    return this.#holds.list;
  }

  /** The whole job: preliminary requirements, the steps, and what is confirmed afterwards. */
  procedure(frame: Frame): void {
    const { document, pointer } = frame;
    const confirmations = new Confirmations(this.#writing);
    const fillIn = (block: number): void => {
      confirmations.before(block, frame);
      this.#body(block, document.steps, '', frame, pointerTo(pointer, 'steps'));
      confirmations.after(block, frame);
    };
    this.#writing.outline.block(-1, 'procedure', '', frame, pointer, fillIn, document.title);
  }

  /** The times since steps that tolerances judge, once every step is written out. */
  elapsed(): ElapsedTimes {
    return new ElapsedTimes(this.#writing.outline, this.#writing.report);
  }

  /** The nodes, with what could not be known before everything was written out and every check was made. */
  finish(elapsed: ElapsedTimes): readonly PlanNode[] {
    const { outline, entries, checks, selections } = this.#writing;
    const nodes = outline.finish();
    crossReference(nodes, entries, checks, selections, elapsed);
    elapsed.reportHalfDoneAgain(nodes);
    return nodes;
  }

  #body(parent: number, written: readonly Node[], path: string, frame: Frame, pointer: string): void {
    const { outline, report } = this.#writing;
    const seen = new Map<string, number>();
    written.forEach((one, number) => {
      if (outline.isFull) return;
      const at = pointerTo(pointer, number);
      const index = this.#node(parent, one, path, frame, at);
      const node = index === undefined ? undefined : outline.nodes[index];
      if (node === undefined) return;
      const first = seen.get(node.id);
      if (first !== undefined) {
        report.add(
          'duplicate-name',
          pointerTo(at, keyOf(one)),
          `There is another ${node.id} beside this one.`,
          {
            remedy: 'each' in one ? 'Give one of them an id.' : 'Give one of them another name.',
            other: [{ pointer: pointerTo(pointer, first), message: 'the other one' }],
          },
        );
      }
      seen.set(node.id, number);
    });
  }

  /** The index of a node; undefined when it is never come to in this variant, or cannot be made. */
  #node(parent: number, written: Node, path: string, frame: Frame, pointer: string): number | undefined {
    const only =
      'only-if' in written && written['only-if'] !== undefined
        ? this.#decisions.of(written['only-if'], frame, pointerTo(pointer, 'only-if'))
        : undefined;
    if (only === false) return undefined;
    const made = this.#made(parent, written, path, frame, pointer);
    const node = made === undefined ? undefined : this.#writing.outline.nodes[made];
    if (node !== undefined && only !== undefined && only !== true) node.onlyIf = only;
    return made;
  }

  #made(parent: number, written: Node, path: string, frame: Frame, pointer: string): number | undefined {
    if ('perform' in written) return this.#performs.write(parent, written, path, frame, pointer);
    if ('choose' in written) return this.#choices.write(parent, written, path, frame, pointer);
    if ('each' in written) return this.#loops.write(parent, written, path, frame, pointer);
    if ('block' in written) return this.#block(parent, written, path, frame, pointer);
    if ('hold' in written) return this.#holds.write(parent, written, path, frame, pointer);
    return this.#steps.write(parent, written, path, frame, pointer);
  }

  #block(parent: number, written: Block, path: string, frame: Frame, pointer: string): number {
    const { block: id, steps, title } = written;
    const inside = join(path, id);
    const fillIn = (block: number) => this.#body(block, steps, inside, frame, pointerTo(pointer, 'steps'));
    return this.#writing.outline.block(parent, id, inside, frame, pointer, fillIn, title);
  }
}

const keyOf = (node: Node): string =>
  ['perform', 'choose', 'each', 'block', 'hold', 'step'].find((key) => key in node) ?? 'step';
