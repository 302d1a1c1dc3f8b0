import { describe, expect, test } from 'vitest';
import type { Diagnostic } from '../../src/index.ts';
import { faultsOf, length, packOf, type Written } from '../small-pack.ts';

/** A map of as many keys as are asked for. */
const many = (count: number, value: unknown, name = 'name'): Written =>
  Object.fromEntries(Array.from({ length: count }, (_, i) => [`${name}-${i}`, value]));
const begin: Written = { step: 'begin', do: 'Begin.' };
const observed = many(1900, { text: 't', answers: { good: 'G', bad: 'B' } }, 'look');

const codes = (faults: readonly Diagnostic[]): Readonly<Record<string, number>> => {
  const counts: Record<string, number> = {};
  for (const { code } of faults) counts[code] = (counts[code] ?? 0) + 1;
  return counts;
};

/** What may come of a pack that is wrong in very many places: 200 faults and one that says so, within a second or so. */
describe('very many mistakes are told of shortly, and soon', () => {
  test.each<readonly [what: string, document: Written, expected: Readonly<Record<string, number>>]>([
    [
      'a list of 120,000 laws that are none',
      packOf({ steps: [begin] }, { interlocks: Array(120_000).fill('1') }),
      { 'wrong-form': 1 },
    ],
    [
      '1,500 laws, each right',
      packOf(
        { steps: [begin] },
        { interlocks: Array(1500).fill({ law: 'l', says: 's', never: { a: 'b' } }) },
      ),
      { 'wrong-form': 1 },
    ],
    [
      '2,000 laws that are none',
      packOf({ steps: [begin] }, { interlocks: Array(2000).fill('1') }),
      { 'wrong-form': 200, 'too-many-faults': 1 },
    ],
    ['thousands of unknown keys', { ...packOf({ steps: [begin] }), ...many(5000, 'x') }, { 'wrong-form': 1 }],
    [
      '1,900 unknown keys',
      { ...packOf({ steps: [begin] }), ...many(1900, 'x') },
      { 'unknown-key': 200, 'too-many-faults': 1 },
    ],
    [
      'unknown keys in very many maps',
      packOf({
        steps: Array.from({ length: 100 }, (_, i) => ({ step: `s-${i}`, do: 'x', ...many(1000, 'x') })),
      }),
      { 'unknown-key': 200, 'too-many-faults': 1 },
    ],
    [
      '1,800 names that are not declared, of as many that are',
      packOf({
        observations: observed,
        steps: Array.from({ length: 1800 }, (_, i) => ({ step: `s-${i}`, observe: `lok-${i}` })),
      }),
      { 'unknown-name': 200, 'too-many-faults': 1 },
    ],
  ])('%s', { timeout: 6000 }, (_, document, expected) => {
    expect(codes(faultsOf(document))).toEqual(expected);
  });

  test('what an author keeps under a key of his own may be long', () => {
    expect(faultsOf({ ...packOf({ steps: [begin] }), 'x-list': Array(150_000).fill('1') })).toEqual([]);
    expect(
      faultsOf(packOf({ readings: { gap: length({ 'x-list': Array(150_000).fill('1') }) }, steps: [begin] })),
    ).toEqual([]);
  });

  test('a name of a performed procedure is found, whatever its author keeps there', () => {
    const list = [{ ...begin, 'x-list': Array(150_000).fill('1') }];
    const procedures = {
      other: {
        title: 'O',
        exports: ['gap'],
        readings: { gap: length() },
        steps: [
          { block: 'b', steps: list },
          { step: 'm', read: 'gap' },
        ],
      },
    };
    const only = { logic: { '>': [{ var: 'other.gap' }, '1 mm'] } };
    expect(
      faultsOf(packOf({ steps: [{ perform: 'other' }, { ...begin, 'only-if': only }] }, { procedures })),
    ).toEqual([]);
  });

  test('and where it stands', () => {
    const crowded = { step: 'begin', do: 'Begin.', 'a/b': [{ c: many(2001, 'x') }] };
    const faults = faultsOf(packOf({ steps: [{ step: 'first', do: 'Begin.' }, crowded] }));
    expect(faults).toMatchObject([
      { code: 'wrong-form', pointer: expect.stringMatching(/\/steps\/1\/a~1b\/0\/c$/) },
    ]);
  });
});
