import { judgedRanges } from '../judged-range.ts';
import { limitsAt } from '../limits-at.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const cannotFail: DiagnosticKind = {
  code: 'cannot-fail',
  severity: 'warning',
  says: 'No plausible value of the reading lies outside these limits.',
  marks: 'value',
  examine: (subject) => oncePerPlace(limitsNeverMissed(subject)),
};

function* limitsNeverMissed({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const { variant, tolerance, canConform, canFail, beyond, plausible } of judgedRanges(plans)) {
    if (canFail && canConform && beyond !== undefined) {
      yield {
        variant,
        pointer: limitsAt(tolerance, pack),
        message: `The ${beyond} limit of ${tolerance.name.split('@')[0]} lies beyond what is plausible: ${tolerance.says}. What lies between them conforms, and is refused.`,
        remedy: 'Correct the limit, or the plausible values.',
        other: [plausible],
      };
    }
    if (canFail) continue;
    yield {
      variant,
      pointer: limitsAt(tolerance, pack),
      message: `Every plausible value keeps ${tolerance.name.split('@')[0]}: ${tolerance.says}.`,
      remedy: 'Correct the limits, or the plausible values.',
      other: [plausible],
    };
  }
}
