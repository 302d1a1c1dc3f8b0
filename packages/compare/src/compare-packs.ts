import type { Pack } from '@ferrule/engine';
import { type Change, compareChanges } from './change.ts';
import { compareRemedy } from './compare-hold.ts';
import { compareKeys } from './compare-keys.ts';
import { compareLaws } from './compare-laws.ts';
import { compareLibraries, compareTrials } from './compare-rest.ts';
import { compareThings } from './compare-things.ts';
import { type CompareKeys, Comparison } from './comparison.ts';
import { packKeys } from './keys.ts';

const inside: CompareKeys = (c, at, keys, was, is) =>
  compareKeys(c, at, keys, was, is, (inner, there, key, form, before, after) =>
    form.form === 'things'
      ? compareThings(inner, there, key, form, before, after)
      : compareRemedy(inner, there, key, before, after),
  );

/**
 * What one revision of a pack has otherwise than the other, the heaviest first: by what it means and not by how it is
 * written. Takes two packs that were read without faults, with libraries and overlay in them. Things are known by their
 * names; what was renamed is recognised by what it says, and then counts once and not at each place that names it.
 */
export function comparePacks(before: Pack, after: Pack): readonly Change[] {
  return findChanges(before, after).found.map(({ at: _, names: __, each: ___, ...change }) => change);
}

/** The same with all that was seen on the way, for whoever puts it into words. */
export function findChanges(before: Pack, after: Pack): Comparison {
  const comparison = new Comparison(before, after, inside);
  const { was, is } = comparison;
  comparison.keys({ kind: 'pack', name: '', scope: '', before: '', after: '' }, packKeys, was, is);
  compareLaws(comparison);
  compareLibraries(comparison);
  compareTrials(comparison);
  comparison.found.sort(compareChanges);
  return comparison;
}
