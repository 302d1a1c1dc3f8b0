import { judgedRanges } from '../judged-range.ts';
import { limitsAt } from '../limits-at.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const cannotConform: DiagnosticKind = {
  code: 'cannot-conform',
  severity: 'error',
  says: 'Every plausible value of the reading lies outside these limits.',
  marks: 'value',
  examine: limitsNeverKept,
};

function* limitsNeverKept({ pack, plans }: Subject): Generator<Finding> {
  for (const { tolerance, canConform, plausible } of judgedRanges(plans)) {
    if (canConform) continue;
    yield {
      pointer: limitsAt(tolerance, pack),
      message: `No plausible value keeps ${tolerance.name}: ${tolerance.says}.`,
      remedy: 'Correct the limits, or the plausible values.',
      other: [plausible],
    };
  }
}
