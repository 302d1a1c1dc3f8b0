import type { Plan } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const identifiedTwice: DiagnosticKind = {
  code: 'identified-twice',
  severity: 'warning',
  says: 'The number of one part is written down as found by two steps: the second takes the place of the first.',
  marks: 'value',
  examine: allIdentifiedTwice,
};

function* allIdentifiedTwice({ plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    for (const entry of plan.entries) {
      if (entry.entry !== 'identity' || entry.as !== 'found') continue;
      const always = entry.takers.flatMap((taker) => (isAlwaysDone(taker, plan) ? [plan.nodes[taker]] : []));
      const [first, second] = always;
      if (first === undefined || second === undefined) continue;
      yield {
        pointer: `${second.pointer}/identify`,
        message: `${first.id} has written down the number of ${entry.part} as found already, and here it is overwritten.`,
        remedy: 'Name the part, or the bore, that is meant here, or take one of the two steps out.',
        other: [{ pointer: `${first.pointer}/identify`, message: 'the first time' }],
      };
    }
  }
}

/** Whether a step stands in no case, under no condition and in no rework. */
function isAlwaysDone(index: number, plan: Plan): boolean {
  for (let at = index; at >= 0; at = plan.nodes[at]?.parent ?? -1) {
    const node = plan.nodes[at];
    if (node === undefined || node.onlyIf !== undefined || node.node === 'choose') return false;
    if (at !== index && node.node !== 'block') return false;
  }
  return true;
}
