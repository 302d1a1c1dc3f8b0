import { pointerTo, type Side } from '@ferrule/engine';
import { resolvedSteps } from '../resolved-steps.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const needlessRemedy: DiagnosticKind = {
  code: 'needless-remedy',
  severity: 'error',
  says: 'A step says what follows a bad judgement or a strike, and judges nothing, nothing that can be missed on that side, or takes nothing that could be struck.',
  marks: 'key',
  examine: remediesOfNoSide,
};

function* remediesOfNoSide(subject: Subject): Generator<Finding> {
  const steps = resolvedSteps(subject);
  for (const { step, pointer } of writtenSteps(subject.pack)) {
    const bad = step['if-nonconforming'];
    if (bad === undefined || !('when-high' in bad)) continue;
    const tolerances = (steps.get(pointer) ?? []).flatMap(({ plan, node }) =>
      node.check?.check === 'tolerance' ? (plan.tolerances[node.check.tolerance] ?? []) : [],
    );
    const [first] = tolerances;
    if (first === undefined) continue;
    for (const side of ['high', 'low'] as const satisfies readonly Side[]) {
      if (tolerances.some(({ sides }) => sides.includes(side))) continue;
      yield {
        pointer: pointerTo(pointer, 'if-nonconforming', `when-${side}`),
        message: `${first.name.split('@')[0]} cannot be missed on its ${side} side: ${first.says}.`,
        remedy: `Write what follows under if-nonconforming: alone, or give the tolerance a limit on that side.`,
        other: [{ pointer: first.pointer, message: 'the limits' }],
      };
    }
  }
}
