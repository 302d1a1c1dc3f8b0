import { judgedRanges } from '../judged-range.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const cannotFail: DiagnosticKind = {
  code: 'cannot-fail',
  severity: 'warning',
  says: 'No plausible value of the reading lies outside these limits.',
  marks: 'value',
  examine: limitsNeverMissed,
};

function* limitsNeverMissed({ plans }: Subject): Generator<Finding> {
  for (const { tolerance, canFail, plausible } of judgedRanges(plans)) {
    if (canFail) continue;
    yield {
      pointer: tolerance.pointer,
      message: `Every plausible value keeps ${tolerance.name}: ${tolerance.says}.`,
      remedy: 'Correct the limits, or the plausible values.',
      other: [plausible],
    };
  }
}
