import { pointerTo } from '@ferrule/engine';
import { compareWords } from './compare-keys.ts';
import type { At, Comparison } from './comparison.ts';
import { has, type Mapping, mappingOf } from './json.ts';
import { write } from './say.ts';

/** The answers that an observation offers. */
export function compareAnswers(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  const before = mappingOf(was['answers']);
  const after = mappingOf(is['answers']);
  for (const answer of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const inner = {
      ...at,
      name: `${at.name}/${answer}`,
      kind: 'answer',
      before: pointerTo(at.before, 'answers'),
      after: pointerTo(at.after, 'answers'),
    };
    if (!has(after, answer)) c.differ(inner, answer, 'removed', 'work', write(before[answer]), undefined);
    else if (!has(before, answer)) c.differ(inner, answer, 'added', 'work', undefined, write(after[answer]));
    else compareWords(c, inner, answer, before[answer], after[answer], 'wording');
  }
}
