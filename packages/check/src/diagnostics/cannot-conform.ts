import { judgedRanges } from '../judged-range.ts';
import { limitsAt } from '../limits-at.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const cannotConform: DiagnosticKind = {
  code: 'cannot-conform',
  severity: 'error',
  says: 'Every plausible value of the reading lies outside these limits.',
  marks: 'value',
  examine: (subject) => oncePerPlace(limitsNeverKept(subject)),
};

function* limitsNeverKept({ pack, plans }: Subject): Generator<FindingOfVariant> {
  for (const { variant, tolerance, canConform, plausible } of judgedRanges(plans)) {
    if (canConform) continue;
    yield {
      variant,
      pointer: limitsAt(tolerance, pack),
      message: `No plausible value keeps ${tolerance.name.split('@')[0]}: ${tolerance.says}.`,
      remedy: 'Correct the limits, or the plausible values.',
      other: [plausible],
    };
  }
}
