import { expect, test } from 'vitest';
import { bumpOf, calledBump } from '../src/bump/bump.ts';
import { highest, needs, needsOf, revisionLevels } from '../src/bump/needs.ts';
import { changeClassNames } from '../src/change.ts';

// Semantic Versioning 2.0.0, clause 11: the two rows of examples there, as one ascending row.
const ascending = [
  ...['1.0.0-alpha', '1.0.0-alpha.1', '1.0.0-alpha.beta', '1.0.0-beta', '1.0.0-beta.2', '1.0.0-beta.11'],
  ...['1.0.0-rc.1', '1.0.0', '2.0.0', '2.1.0', '2.1.1'],
];

test('revisions stand in the order of Semantic Versioning 2.0.0, clause 11', () => {
  ascending.forEach((one, at) => {
    ascending.forEach((other, place) => {
      const called = calledBump(one, other);
      if (place < at) expect(called, `${one} ${other}`).toBe('lower');
      else if (place === at) expect(called).toBe('none');
      else expect(['patch', 'minor', 'major', 'pre-release'], `${one} ${other}`).toContain(called);
    });
  });
});

test('what is built and how makes no other revision (clause 10)', () => {
  expect(calledBump('1.0.0+20130313144700', '1.0.0+21AF26D3')).toBe('none');
});

test.each([
  ['1.0.0', '1.0.1', 'patch'],
  ['1.0.9', '1.1.0', 'minor'],
  ['1.9.9', '2.0.0-rc.1', 'major'],
  ['1.1.0-rc.1', '1.1.0', 'pre-release'],
  ['1.1.0', '1.1.0-rc.1', 'lower'],
  ['1.0.0', '1.0.0-01', 'unreadable'],
  ['1.0', '1.1.0', 'unreadable'],
] as const)('from %s to %s: %s', (before, after, called) => {
  expect(calledBump(before, after)).toBe(called);
});

test('a number has to go up by as much as the changes ask for', () => {
  const fits = (after: string) => revisionLevels.map((needed) => bumpOf('1.2.3', after, needed).fits);
  expect(fits('1.2.4')).toEqual([true, true, false, false]);
  expect(fits('1.3.0')).toEqual([true, true, true, false]);
  expect(fits('2.0.0')).toEqual([true, true, true, true]);
  expect(fits('1.2.3')).toEqual([true, false, false, false]);
  expect(fits('1.2.2')).toEqual([false, false, false, false]);
  // Clauses 4 and 9: before 1.0.0, and before a release, a number promises nothing.
  expect(bumpOf('0.1.0', '0.1.1', 'major').fits).toBe(true);
  expect(bumpOf('1.0.0-rc.1', '1.0.0', 'major').fits).toBe(true);
});

test('what protects less is major, whatever its class', () => {
  for (const change of Object.keys(needs) as (keyof typeof needs)[])
    expect(needsOf({ change, weight: 'work', effect: 'weaker' })).toBe('major');
});

test('every class has its row', () => {
  expect(Object.keys(needs).sort()).toEqual([...changeClassNames].sort());
  expect(highest(['patch', 'minor', 'none'])).toBe('minor');
});
