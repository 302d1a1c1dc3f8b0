import { diagnosticCodes } from '@ferrule/engine';
import { expect, test } from 'vitest';
import { readDefects } from './defects/defect.ts';

/*
 * The corpus of single mistakes of authors: common practice, no published source. Each is tried in defects-1 and
 * defects-2; here it is looked at as a whole.
 */
const defects = readDefects();

test('there are at least 150 defects, each with a name of its own', () => {
  const names = defects.map((one) => one.defect);
  expect(names.filter((name, index) => names.indexOf(name) !== index)).toEqual([]);
  expect(names.length).toBeGreaterThanOrEqual(150);
});

test('a defect that must be told names a code that there is', () => {
  const codes: readonly string[] = diagnosticCodes;
  const unknown = defects.filter((one) => one.pending === undefined && !codes.includes(one.finds));
  expect(unknown.map((one) => `${one.defect}: ${one.finds}`)).toEqual([]);
});

test('says something, and edits something', () => {
  expect(defects.filter((one) => one.says.length < 20 || one.patch.length === 0)).toEqual([]);
});
