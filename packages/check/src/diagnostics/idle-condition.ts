import { type Truths, truthsOf } from '../interval.ts';
import { plausibleBounds } from '../judged-range.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const idleCondition: DiagnosticKind = {
  code: 'idle-condition',
  severity: 'warning',
  says: 'A condition over readings comes out the same for every plausible value.',
  marks: 'value',
  examine: idleConditions,
};

function* idleConditions({ plans }: Subject): Generator<Finding> {
  const found = new Map<string, Truths>();
  for (const plan of plans) {
    const bounds = plausibleBounds(plan);
    for (const { pointer, lowered } of plan.conditions) {
      const truths = truthsOf(lowered.typed, bounds);
      const before = found.get(pointer);
      // What decides in one variant only is no fault.
      found.set(pointer, {
        true: truths.true || before?.true === true,
        false: truths.false || before?.false === true,
      });
    }
  }
  for (const [pointer, truths] of found) {
    if (truths.true === truths.false) continue;
    yield {
      pointer,
      message: `This condition is ${truths.true ? 'always' : 'never'} true: no plausible value of its readings changes it.`,
      remedy: 'Correct the value that it is compared with, the comparison, or the plausible values.',
    };
  }
}
