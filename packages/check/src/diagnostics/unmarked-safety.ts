import { pointerTo, type written } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unmarkedSafety: DiagnosticKind = {
  code: 'unmarked-safety',
  severity: 'warning',
  says: 'The text of a hold speaks of what hurts people, and the hold is not one of safety.',
  marks: 'value',
  examine: unmarkedHolds,
};

/** What the trade says where people can be hurt; words that also speak of a spoilt part are left out. */
const grave =
  /\bruns? away\b|\brun-?away\b|\binjur(?:y|ies|es?)\b|\bkills?\b|\bmust not be (?:started|run)\b|\bmust not run\b|\b(?:do|does) not start\b(?! (?:at|with|before the))|\bbreaks? apart\b/i;

function* unmarkedHolds({ pack }: Subject): Generator<Finding> {
  yield* among(pack.holds, '/holds');
  for (const [id, { holds }] of Object.entries(pack.procedures))
    yield* among(holds, pointerTo('/procedures', id, 'holds'));
}

function* among(holds: Readonly<Record<string, written.Hold>> = {}, pointer: string): Generator<Finding> {
  for (const [id, { text, safety }] of Object.entries(holds)) {
    const [words] = grave.exec(text) ?? [];
    if (words === undefined || safety !== undefined) continue;
    yield {
      pointer: pointerTo(pointer, id, 'text'),
      message: `"${words}" speaks of people who can be hurt, and ${id} is not a hold of safety.`,
      remedy: 'Add safety: yes. Then nobody can wave it through.',
    };
  }
}
