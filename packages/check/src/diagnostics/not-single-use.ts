import { pointerTo } from '@ferrule/engine';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const notSingleUse: DiagnosticKind = {
  code: 'not-single-use',
  severity: 'warning',
  says: 'A part is taken off and renewed each time, and is not declared as used once only.',
  marks: 'value',
  examine: allNotSingleUse,
};

function* allNotSingleUse({ pack }: Subject): Generator<Finding> {
  const steps = writtenSteps(pack);
  const renewed = new Set(steps.flatMap(({ step }) => [step.renew ?? []].flat()));
  for (const { step, pointer } of steps) {
    for (const [number, id] of [step.remove ?? []].flat().entries()) {
      const part = pack.parts?.[id];
      // What has a number of its own may go back, or be renewed.
      if (part === undefined || part['single-use'] !== undefined || part.identity !== undefined) continue;
      if (!renewed.has(id)) continue;
      yield {
        pointer: pointerTo(pointer, 'remove', ...(typeof step.remove === 'string' ? [] : [number])),
        message: `${id} is taken off here and renewed later, and it is not said that it is used once only.`,
        remedy: `Add single-use: yes to the part ${id}.`,
        other: [{ pointer: pointerTo('/parts', id), message: 'the part' }],
      };
    }
  }
}
