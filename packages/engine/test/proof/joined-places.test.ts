import { expect, test } from 'vitest';
import { explore } from '../../src/proof/index.ts';
import { packOf, planOf, type Written } from '../small-pack.ts';

const observed = (...answers: readonly string[]): Written => ({
  text: 't',
  answers: Object.fromEntries(answers.map((one) => [one, one])),
});
const suspect = (step: string, when: Written): Written => ({
  step,
  do: 'x',
  'only-if': { observed: when },
  changes: { cause: [['sought', 'suspected'], 'suspected'] },
});

/*
 * With water the first answer was looked at before it was known that nothing goes by it, so three places come to the block,
 * one for each answer; with a dry tank it was not, and one place comes there at the same time that stands for all three.
 */
test('a place that stands for all that are joined already is gone on from', () => {
  const plan = planOf(
    packOf(
      {
        observations: {
          heading: observed('a', 'b', 'c'),
          tank: observed('full', 'dry'),
          jar: observed('clear', 'water'),
        },
        steps: [
          { step: 'name', observe: 'heading' },
          { step: 'dip', observe: 'tank' },
          suspect('fill', { tank: 'dry' }),
          { step: 'draw', do: 'x' },
          { step: 'look', observe: 'jar' },
          suspect('drain', { jar: 'water' }),
          {
            block: 'weigh',
            'only-if': { state: { cause: 'suspected' } },
            steps: [{ step: 'read', do: 'x', changes: { cause: ['suspected', 'found'] } }],
          },
          {
            block: 'search',
            'only-if': { state: { cause: 'sought' } },
            steps: [
              {
                choose: 'by-heading',
                cases: ['a', 'b', 'c'].map((heading) => ({
                  when: { observed: { heading } },
                  steps: [{ step: `search-${heading}`, do: 'x' }],
                })),
              },
            ],
          },
        ],
      },
      {
        states: {
          cause: { is: ['sought', 'suspected', 'found'], starts: 'sought', ends: ['sought', 'found'] },
        },
      },
    ),
  );
  const { unreached, reachesEnd, refutations } = explore(plan);
  expect(unreached).toEqual([]);
  expect([reachesEnd, refutations]).toEqual([true, []]);
});
