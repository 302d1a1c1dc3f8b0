import { nearest } from '../logic/index.ts';
import type { Frame } from './frame.ts';
import type { OpenNode, Outline } from './outline.ts';
import type { PlanElapsed, PlanNode } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { Timer } from './rewrite-expression.ts';

type Mutable = Omit<PlanElapsed, 'judgedBy'> & { readonly judgedBy: number[] };

/** The times since steps that tolerances judge. They are found when all steps are written out. */
export class ElapsedTimes {
  readonly list: Mutable[] = [];
  readonly #outline: Outline;
  readonly #report: Report;

  constructor(outline: Outline, report: Report) {
    this.#outline = outline;
    this.#report = report;
  }

  index(name: string): number {
    return this.list.findIndex((one) => one.name === name);
  }

  /** Names the times that are judged at a step: `judging` is its place. */
  timerAt(judging: number): Timer {
    return (written, frame, pointer) => {
      const { since, until, ...more } = written;
      const stray = Object.keys(more)[0];
      if (stray !== undefined || typeof since !== 'string') {
        this.#report.add(
          'bad-expression',
          stray === undefined ? pointer : pointerTo(pointer, stray),
          stray === undefined ? 'elapsed has no since.' : `elapsed has no ${stray}.`,
          { remedy: 'Write { elapsed: { since: that-step } }, and until: another-step where it ends there.' },
        );
        return undefined;
      }
      const from = this.#step(since, frame, judging, pointerTo(pointer, 'since'));
      const at = pointerTo(pointer, 'until');
      const to = typeof until === 'string' ? this.#step(until, frame, judging, at) : undefined;
      if (from === undefined || (until !== undefined && to === undefined)) return undefined;
      if (to !== undefined && to.index <= from.index) {
        this.#report.add('not-surely-done', at, `${until} is not done after ${since}.`, {
          remedy: 'Name the earlier step under since, and the later one under until.',
        });
        return undefined;
      }
      return this.#named(from, to, pointer).name;
    };
  }

  #named(from: OpenNode, to: OpenNode | undefined, pointer: string): PlanElapsed {
    const same = this.list.find((one) => one.since === from.index && one.until === to?.index);
    if (same !== undefined) return same;
    const words = (name: (node: OpenNode) => string): string =>
      `time since ${name(from)}${to === undefined ? '' : ` until ${name(to)}`}`;
    const short = words((one) => one.id) + (from.bore === undefined ? '' : `@${from.bore}`);
    const made = {
      // Steps of one name in several blocks are told apart by their paths.
      name: this.index(short) < 0 ? short : words((one) => one.path),
      since: from.index,
      ...(to === undefined ? {} : { until: to.index }),
      judgedBy: [],
      pointer,
    };
    this.list.push(made);
    return made;
  }

  /**
   * Reports each rework that does a step again from which time counts, and not the step that judges it: the verdict would
   * stand on a time that is gone.
   */
  reportHalfDoneAgain(nodes: readonly PlanNode[]): void {
    for (const { since, until, judgedBy, pointer } of this.list) {
      for (const node of nodes) {
        if (node.node !== 'block' || node.resumes === undefined) continue;
        const isAgain = (one: number): boolean =>
          node.resumes !== undefined && node.resumes.at <= one && one < node.resumes.until;
        const ends = until === undefined ? [] : [until];
        const counted = [since, ...ends].find(isAgain);
        const left = [...(isAgain(since) ? ends : []), ...judgedBy].find((one) => !isAgain(one));
        if (counted === undefined || left === undefined) continue;
        const [from, to] = [nodes[counted]?.id ?? '', nodes[left]?.id ?? ''];
        this.#report.add(
          'not-surely-done',
          node.pointer,
          `This rework does ${from} again and not ${to}, and the time between them is judged.`,
          {
            remedy: `Leave out redo: this-block, or put ${from} and ${to} into one block.`,
            other: [{ pointer, message: 'the time that is judged' }],
          },
        );
      }
    }
  }

  /** The step of this name that is surely done whenever the job comes to the step that judges. */
  #step(id: string, frame: Frame, judging: number, pointer: string): OpenNode | undefined {
    const { nodes, frames } = this.#outline;
    const here = nodes[judging];
    if (here === undefined) return undefined;
    const report = (message: string, remedy: string): undefined => {
      this.#report.add('not-surely-done', pointer, message, { remedy });
    };
    if (frames[judging]?.prefix !== frame.prefix)
      return report(
        `The time since ${id} counts in ${frame.procedure}, and is judged outside of it.`,
        `Judge it in a step of ${frame.procedure}.`,
      );
    const isHere = (index: number): boolean => frames[index]?.procedure === frame.procedure;
    const isSamePass = (index: number): boolean =>
      [...(frames[index]?.bindings ?? [])].every(([name, value]) => frame.bindings.get(name) === value);
    const named = nodes.filter((one) => one.node === 'step' && one.id === id && isHere(one.index));
    if (named.length === 0) {
      const known = [
        ...new Set(nodes.flatMap((one) => (one.node === 'step' && isHere(one.index) ? one.id : []))),
      ];
      const meant = nearest(id, known);
      this.#report.add('unknown-name', pointer, `There is no step ${id} in ${frame.procedure}.`, {
        remedy: meant === undefined ? `Name a step before ${here.id}.` : `Did you mean ${meant}?`,
      });
      return undefined;
    }
    const before = named.filter((one) => one.end <= judging && isSamePass(one.index));
    const found = before.at(-1);
    if (found !== undefined && this.#isSurelyDone(found, judging, isHere)) return found;
    return found !== undefined
      ? report(
          `${id} may be left out, or passed over, before the job comes to ${here.path}.`,
          `Count from a step that is done on every way to ${here.id}, or put this verdict beside ${id}.`,
        )
      : report(
          `${id} does not come before ${here.path}${named.some((one) => one.end <= judging) ? ' in the same pass' : ''}.`,
          `Count from a step that is done before ${here.id}.`,
        );
  }

  /** Whether a step that stands before another is done on every way there: nothing around it, up to what is around both, may pass it over. */
  #isSurelyDone(step: OpenNode, judging: number, isHere: (index: number) => boolean): boolean {
    const { nodes } = this.#outline;
    if (step.node !== 'step' || step.onlyIf !== undefined || step.notApplicable !== undefined) return false;
    for (let around = nodes[step.parent]; around !== undefined; around = nodes[around.parent]) {
      if (around.node !== 'block' || !isHere(around.index)) return false;
      if (around.index < judging && judging < around.end) return true;
      if (around.onlyIf !== undefined || around.resumes !== undefined) return false;
    }
    return false;
  }
}
