import { PART } from '@ferrule/engine';
import { partWork } from '../part-work.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const notRenewed: DiagnosticKind = {
  code: 'not-renewed',
  severity: 'error',
  says: 'A part is taken off for good, and no step of the job renews it.',
  marks: 'value',
  examine: neverRenewed,
};

function* neverRenewed({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const work = partWork(plan);
    const renewed = new Set(work.flatMap((one) => (one.to === PART.renewed ? [one.name] : [])));
    for (const { part, name, to, pointer } of work) {
      if (to !== PART.removed || renewed.has(name)) continue;
      const isSingle = pack.parts?.[part]?.['single-use'] !== undefined;
      yield {
        pointer,
        message: `${part} is taken off${isSingle ? ', is used once only' : ' for good'}, and no step of ${plan.procedure.id} renews it.`,
        remedy: `Add a step with renew: ${part} where the new one goes on.`,
      };
    }
  }
}
