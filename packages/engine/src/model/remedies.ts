import type { Frame } from './frame.ts';
import type { Remedy as WrittenRemedy } from './generated/document.ts';
import type { Open } from './outline.ts';
import type { Remedy, StepNode } from './plan.ts';
import type { PlanHolds } from './plan-holds.ts';
import { pointerTo } from './pointer.ts';
import { type Reworks, saysResumable } from './reworks.ts';
import type { Writing } from './writing.ts';

/** Writes out what follows when a step does not conform: a hold, or a rework with a hold for when it is exhausted. */
export class Remedies {
  readonly #writing: Writing;
  readonly #holds: PlanHolds;
  readonly #reworks: Reworks;

  constructor(writing: Writing, holds: PlanHolds, reworks: Reworks) {
    this.#writing = writing;
    this.#holds = holds;
    this.#reworks = reworks;
  }

  /** A remedy of a step, written out inside its node under the label; undefined when something is wrong with it. */
  write(
    written: WrittenRemedy,
    node: Open<StepNode>,
    label: string,
    frame: Frame,
    pointer: string,
  ): Remedy | undefined {
    if ('hold' in written) {
      const hold = this.#holds.at(node, written.hold, frame, pointerTo(pointer, 'hold'), false);
      return hold === undefined ? undefined : { remedy: 'hold', hold };
    }
    const { outline } = this.#writing;
    const target = outline.sibling(node, written['resume-at']);
    if (target === undefined) this.#noTarget(written['resume-at'], node, pointerTo(pointer, 'resume-at'));
    const at = pointerTo(pointer, 'exhausted');
    const exhausted = this.#holds.at(node, written.exhausted, frame, at, false);
    const { counter, times } = this.#reworks.counter(
      `${node.path} ${label}`,
      written.attempts,
      node,
      pointerTo(pointer, 'attempts'),
    );
    const body = this.#reworks.body(node, label, written, target, frame, pointer);
    if (target === undefined || exhausted === undefined || body < 0) return undefined;
    return { remedy: 'rework', body, counter, attempts: times, exhausted };
  }

  /** What follows when an entry of the step was struck. It is missing then: there is no result that anyone could accept. */
  struck(written: WrittenRemedy, node: Open<StepNode>, frame: Frame, pointer: string): Remedy | undefined {
    const struck = this.write(written, node, 'if-struck', frame, pointer);
    if (struck === undefined) return undefined;
    const [hold, key] =
      struck.remedy === 'hold'
        ? ([struck.hold, 'hold'] as const)
        : ([struck.exhausted, 'exhausted'] as const);
    if (this.#holds.list[hold]?.releases.some((release) => release.by === 'concession')) {
      this.#writing.report.add(
        'wrong-form',
        pointerTo(pointer, key),
        'What was struck has no result that a concession could accept.',
        { remedy: 'Name a hold that is released by rework.' },
      );
    }
    return struck;
  }

  #noTarget(id: string, node: Open<StepNode>, pointer: string): void {
    const { outline, report } = this.#writing;
    const beside = outline.children(node.parent).map((one) => outline.nodes[one]?.id ?? '');
    report.add('resume-at', pointer, `${id} is not an earlier step of the same block, nor the step itself.`, {
      remedy: saysResumable(id, [...beside, node.id]),
    });
  }
}
