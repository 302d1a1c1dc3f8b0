import { pointerTo } from '@ferrule/engine';
import { namesInFull, wordsOf } from '../name-words.ts';
import { neededOnJobs } from '../needed-on-jobs.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const needlessRequirement: DiagnosticKind = {
  code: 'needless-requirement',
  severity: 'warning',
  says: 'The preliminary requirements of a job name something that none of its steps uses.',
  marks: 'value',
  examine: needlessRequirements,
};

function* needlessRequirements(subject: Subject): Generator<Finding> {
  // A shop asks for what its place needs, and takes nothing from the list of the pack.
  if (subject.pack.overlaid !== undefined) return;
  for (const { job, preliminary, needs, texts } of neededOnJobs(subject)) {
    const told = texts.map(wordsOf);
    for (const list of ['equipment', 'supplies', 'spares'] as const) {
      const needed = new Set(needs.filter((one) => one.list === list).map((one) => one.name));
      for (const [index, name] of preliminary[list].entries()) {
        if (needed.has(name)) continue;
        // What a text names is used, if only there; but a spare only if a step says that it renews it.
        if (list !== 'spares' && told.some((text) => namesInFull(text, name))) continue;
        const how =
          list === 'spares'
            ? `renew: ${name} in the step where it goes on`
            : `with: [${name}] in the step that uses it`;
        yield {
          pointer: pointerTo('/procedures', job, 'preliminary', list, index),
          message: `${name} has to be ready, and no step of ${job} uses it.`,
          remedy: `Add ${how}, or take it out of ${list}.`,
        };
      }
    }
  }
}
