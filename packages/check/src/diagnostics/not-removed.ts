import { PART } from '@ferrule/engine';
import { partWork } from '../part-work.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const notRemoved: DiagnosticKind = {
  code: 'not-removed',
  severity: 'error',
  says: 'A part is renewed, and no step of the job takes the old one off.',
  marks: 'value',
  examine: neverRemoved,
};

function* neverRemoved({ plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const work = partWork(plan);
    const removed = new Set(work.flatMap((one) => (one.to === PART.removed ? [one.name] : [])));
    for (const { part, name, to, pointer } of work) {
      if (to !== PART.renewed || removed.has(name)) continue;
      yield {
        pointer,
        message: `A new ${part} goes on here, and no step of ${plan.procedure.id} takes the old one off.`,
        remedy: `Add a step with remove: ${part} before it.`,
      };
    }
  }
}
