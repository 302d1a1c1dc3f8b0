import { pointerTo } from '@ferrule/engine';
import { neededOnJobs } from '../needed-on-jobs.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const notListed: DiagnosticKind = {
  code: 'not-listed',
  severity: 'warning',
  says: 'A step uses something that the preliminary requirements of the job do not name.',
  marks: 'value',
  examine: allNotListed,
};

function* allNotListed(subject: Subject): Generator<Finding> {
  for (const { job, preliminary, needs } of neededOnJobs(subject)) {
    const said = new Set<string>();
    for (const { list, name, pointer } of needs) {
      if (preliminary[list].includes(name) || said.has(`${list} ${name}`)) continue;
      said.add(`${list} ${name}`);
      yield {
        pointer,
        message: `${name} is used here, and ${list} of ${job} does not name it: nobody has it ready when the job begins.`,
        remedy: `Add ${name} to ${list} in preliminary of ${job}.`,
        other: [
          {
            pointer: pointerTo('/procedures', job, 'preliminary', list),
            message: 'what has to be ready',
          },
        ],
      };
    }
  }
}
