import type { Frame } from './frame.ts';
import type { Outcome, Select, Step } from './generated/document.ts';
import type { Open } from './outline.ts';
import type { Check, Remedy, StepNode } from './plan.ts';
import { pointerTo } from './pointer.ts';
import type { Remedies } from './remedies.ts';
import type { Writing } from './writing.ts';

/** Reads what a step judges, and writes out what follows when it does not conform. */
export class StepChecks {
  readonly #writing: Writing;
  readonly #remedies: Remedies;

  constructor(writing: Writing, remedies: Remedies) {
    this.#writing = writing;
    this.#remedies = remedies;
  }

  /** The check of a step whose node has been added; undefined when it judges nothing. */
  of(written: Step, node: Open<StepNode>, frame: Frame, pointer: string): Check | undefined {
    const { entries, report } = this.#writing;
    const judged = node.entries.filter((index) => this.#isJudged(index));
    const [observed] = judged;
    const outcome = written['if-nonconforming'];
    const { select } = written;
    if (select !== undefined && (written.judge !== undefined || observed !== undefined)) {
      report.add(
        'several-checks',
        pointerTo(pointer, 'select'),
        'One step has one verdict; this one judges something besides what it chooses.',
        { remedy: 'Make two steps of it.' },
      );
    }
    if (written.judge !== undefined && observed !== undefined) {
      report.add(
        'several-checks',
        pointerTo(pointer, 'judge'),
        'One step has one verdict; this one judges an answer or a serial number as well.',
        { remedy: 'Make two steps of it.' },
      );
    }
    if (judged.length > 1)
      report.add('several-checks', pointer, 'One step has one verdict.', {
        remedy: 'Make two steps of it.',
      });
    if (written.judge === undefined && observed === undefined && select === undefined) {
      this.#nothingJudged(written, frame, pointer);
      return undefined;
    }
    if (outcome === undefined) {
      report.add(
        'no-remedy',
        pointer,
        `${written.step} is judged, and it is not said what follows when it does not conform.`,
        { remedy: 'Add if-nonconforming: a rework or a hold.' },
      );
    }
    if (written.judge !== undefined) return this.#tolerance(written, written.judge, node, frame, pointer);
    const nonconforming =
      outcome === undefined
        ? undefined
        : this.#plain(outcome, node, frame, pointerTo(pointer, 'if-nonconforming'));
    if (select !== undefined) return this.#selection(written, select, nonconforming, node, frame, pointer);
    if (observed === undefined) return undefined;
    const entry = entries.at(observed);
    entry?.judgedBy.push(node.index);
    return {
      check: entry?.entry === 'identity' ? 'identity' : 'observation',
      entry: observed,
      ...(nonconforming === undefined ? {} : { nonconforming }),
    };
  }

  #nothingJudged(written: Step, frame: Frame, pointer: string): void {
    const { report } = this.#writing;
    // What is observed or identified here has a fault of its own, or conforms whatever the answer.
    const isSaid =
      frame.document.observations?.[written.observe ?? '']?.conforming !== undefined ||
      report.hasErrorAt(pointerTo('/parts', written.identify?.part ?? '')) ||
      ['observe', 'identify'].some((key) => report.hasErrorAt(pointerTo(pointer, key)));
    for (const key of ['if-nonconforming', 'if-inconclusive'] as const) {
      if (written[key] !== undefined && !isSaid)
        report.add('needless-remedy', pointerTo(pointer, key), 'Nothing is judged in this step.', {
          remedy:
            written.observe === undefined
              ? 'Say with judge: by which tolerance, or take this out.'
              : `List under ${written.observe} which answers are conforming:, or take this out.`,
        });
    }
  }

  #selection(
    written: Step,
    select: Select,
    nonconforming: Remedy | undefined,
    node: Open<StepNode>,
    frame: Frame,
    pointer: string,
  ): Check | undefined {
    const { report, selections } = this.#writing;
    if (written['if-inconclusive'] !== undefined)
      report.add(
        'needless-remedy',
        pointerTo(pointer, 'if-inconclusive'),
        'Something in stock does, or none does: a choice is never inconclusive.',
        { remedy: 'Take this out.' },
      );
    const at = pointerTo(pointer, 'select');
    const selection = selections.add(written.step, select, node.index, frame, at);
    if (selection === undefined) return undefined;
    return { check: 'stock', selection, ...(nonconforming === undefined ? {} : { nonconforming }) };
  }

  #isJudged(index: number): boolean {
    const entry = this.#writing.entries.at(index);
    if (entry?.entry === 'observation') return entry.answers.some((one) => !one.conforming);
    return entry?.entry === 'identity' && entry.as === 'fitted';
  }

  #tolerance(
    written: Step,
    id: string,
    node: Open<StepNode>,
    frame: Frame,
    pointer: string,
  ): Check | undefined {
    const tolerance = this.#writing.checks.tolerance(id, frame, pointerTo(pointer, 'judge'), node.index);
    if (tolerance === undefined) return undefined;
    const outcome = written['if-nonconforming'];
    const at = pointerTo(pointer, 'if-nonconforming');
    const sided = outcome !== undefined && 'when-high' in outcome;
    const one = outcome === undefined || sided ? undefined : this.#plain(outcome, node, frame, at);
    const high = sided
      ? this.#remedies.write(outcome['when-high'], node, 'when-high', frame, pointerTo(at, 'when-high'))
      : one;
    const low = sided
      ? this.#remedies.write(outcome['when-low'], node, 'when-low', frame, pointerTo(at, 'when-low'))
      : one;
    const unsure = written['if-inconclusive'];
    const rule = frame.document.tolerances?.[id]?.rule ?? 'simple';
    if (unsure === undefined && rule !== 'simple')
      this.#writing.report.add(
        'no-remedy',
        pointer,
        `${written.step} is judged by rule: ${rule}, and it is not said what follows when the value lies too near a limit to tell.`,
        { remedy: 'Add if-inconclusive: a rework in which it is measured better, or a hold.' },
      );
    const inconclusive =
      unsure === undefined
        ? undefined
        : this.#remedies.write(unsure, node, 'if-inconclusive', frame, pointerTo(pointer, 'if-inconclusive'));
    return {
      check: 'tolerance',
      tolerance,
      ...(high === undefined ? {} : { high }),
      ...(low === undefined ? {} : { low }),
      ...(inconclusive === undefined ? {} : { inconclusive }),
    };
  }

  /** A remedy that is the same on either side. */
  #plain(outcome: Outcome, node: Open<StepNode>, frame: Frame, pointer: string): Remedy | undefined {
    if (!('when-high' in outcome))
      return this.#remedies.write(outcome, node, 'if-nonconforming', frame, pointer);
    this.#writing.report.add('wrong-form', pointer, 'Only a tolerance is missed on a side.');
    return undefined;
  }
}
