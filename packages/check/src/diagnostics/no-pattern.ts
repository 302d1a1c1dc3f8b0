import { pointerTo } from '@ferrule/engine';
import { resolvedSteps } from '../resolved-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const noPattern: DiagnosticKind = {
  code: 'no-pattern',
  severity: 'warning',
  says: 'Several fasteners are tightened, and it is not said in which order.',
  marks: 'value',
  examine: withoutPattern,
};

function* withoutPattern(subject: Subject): Generator<Finding> {
  const { joints = {} } = subject.pack;
  for (const [pointer, [step]] of resolvedSteps(subject)) {
    const act = step?.node.act;
    if (act?.act !== 'tighten' || act.pattern !== undefined) continue;
    const count = Number(joints[act.joint]?.fasteners ?? 1);
    // What is only slackened lies in no order that matters to it.
    if (count < 2 || act.stages.every((one) => one.stage === 'slacken')) continue;
    yield {
      pointer: pointerTo(pointer, 'tighten', 'stages'),
      message: `${act.joint} has ${count} fasteners, and it is not said in which order a stage goes over them.`,
      remedy: `Add pattern: with the numbers 1 to ${count} in their order.`,
      other: [{ pointer: pointerTo('/joints', act.joint, 'fasteners'), message: `${count} fasteners` }],
    };
  }
}
