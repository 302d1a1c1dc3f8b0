import { pointerTo } from '@ferrule/engine';
import { resolvedSteps } from '../resolved-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const wrongPattern: DiagnosticKind = {
  code: 'wrong-pattern',
  severity: 'error',
  says: 'A tightening pattern does not come to each fastener of the joint once.',
  marks: 'value',
  examine: wrongPatterns,
};

function* wrongPatterns(subject: Subject): Generator<Finding> {
  const { joints = {} } = subject.pack;
  for (const [pointer, [step]] of resolvedSteps(subject)) {
    const act = step?.node.act;
    if (act?.act !== 'tighten' || act.pattern === undefined) continue;
    const { pattern, joint } = act;
    const at = pointerTo(pointer, 'tighten', 'pattern');
    const written = joints[joint]?.fasteners;
    if (written === undefined) {
      yield {
        pointer: at,
        message: `The pattern goes over ${Math.max(...pattern)} fasteners, and ${joint} does not say how many it has.`,
        remedy: `Add fasteners: ${Math.max(...pattern)} to the joint, or take the pattern out.`,
        other: [{ pointer: pointerTo('/joints', joint), message: 'the joint' }],
      };
      continue;
    }
    const count = Number(written);
    const other = [{ pointer: pointerTo('/joints', joint, 'fasteners'), message: `${count} fasteners` }];
    for (const [place, fastener] of pattern.entries()) {
      const before = pattern.indexOf(fastener);
      const message =
        fastener > count
          ? `${joint} has ${count} fasteners, and none is number ${fastener}.`
          : before < place
            ? `Number ${fastener} comes twice.`
            : undefined;
      if (message !== undefined)
        yield {
          pointer: pointerTo(at, place),
          message,
          remedy: 'Write each number once, from 1 to the number of fasteners.',
          other,
        };
    }
    const missing = Array.from({ length: count }, (_, place) => place + 1).filter(
      (one) => !pattern.includes(one),
    );
    if (missing.length > 0)
      yield {
        pointer: at,
        message: `The pattern leaves out ${missing.join(', ')}.`,
        remedy: `Write all ${count} of them.`,
        other,
      };
  }
}
