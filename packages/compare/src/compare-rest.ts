import type { At, Comparison } from './comparison.ts';
import { has, isMapping, mappingOf } from './json.ts';
import { sameMeaning } from './quantities.ts';

/** What was taken from libraries is compared as if it stood in the pack; here it is only said that they are others. */
export function compareLibraries(c: Comparison): void {
  const before = mappingOf(c.was['uses']);
  const after = mappingOf(c.is['uses']);
  for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const says = (uses: unknown): string | undefined =>
      isMapping(uses) ? `${name} ${String(uses['revision'])}` : undefined;
    if (sameMeaning(before[name], after[name])) continue;
    const at: At = { kind: 'library', name, scope: '', before: '/uses', after: '/uses' };
    c.differ(
      at,
      name,
      says(before[name]) === undefined ? 'added' : says(after[name]) === undefined ? 'removed' : 'changed',
      'wording',
      says(before[name]),
      says(after[name]),
    );
  }
}

/** The trials: what they come to under the newer revision is shown by running them. */
export function compareTrials(c: Comparison): void {
  const before = mappingOf(c.was['trials']);
  const after = mappingOf(c.is['trials']);
  for (const name of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const says = (trial: unknown): string | undefined =>
      isMapping(trial) ? String(trial['says'] ?? name) : undefined;
    if (sameMeaning(before[name], after[name])) continue;
    const at: At = { kind: 'trial', name, scope: '', before: '/trials', after: '/trials' };
    const change = !has(before, name) ? 'added' : has(after, name) ? 'changed' : 'removed';
    c.differ(at, name, change, 'wording', says(before[name]), says(after[name]));
  }
}
