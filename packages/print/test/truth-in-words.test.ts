import { expect, test } from 'vitest';
import { length, limits, packOf, planOf } from '../../engine/test/small-pack.ts';
import { truthInWords } from '../src/truth-in-words.ts';

const written = (logic: unknown): string => {
  const plan = planOf(
    packOf({
      readings: { gap: length(), play: length({ per: 'bore' }) },
      observations: { look: { text: 'The seat, wiped, is', answers: { yes: 'clean', no: 'pitted' } } },
      derived: { rise: { is: { difference: ['gap', 'play@1'] } } },
      tolerances: { 'rise-fit': limits('rise') },
      steps: [
        { step: 'gap', read: 'gap' },
        { step: 'look', observe: 'look' },
        { each: 'bore', of: ['1', '2'], steps: [{ step: 'play', read: 'play' }] },
        { step: 'judge', judge: 'rise-fit', 'if-nonconforming': { hold: 'ask-the-lead' } },
        { step: 'maybe', do: 'x', 'only-if': { logic } },
      ],
    }),
  );
  const [condition] = plan.conditions;
  if (condition === undefined) throw new Error('no condition');
  return truthInWords(plan, condition.lowered.typed);
};

test.each([
  [{ '<': [{ var: 'gap' }, '3 mm'] }, 'gap < 3 mm'],
  [{ '<=': ['1 mm', { var: 'gap' }, '2 mm'] }, '1 mm ≤ gap ≤ 2 mm'],
  [{ '>': [{ var: 'rise' }, '1 mm'] }, 'rise > 1 mm'],
  [{ '>': [{ '+': [{ var: 'gap' }, { var: 'play@2' }] }, '1 mm'] }, 'gap + play > 1 mm'],
  [
    { '>': [{ '-': [{ var: 'play@2' }, { var: 'play@1' }] }, '1 mm'] },
    'play of bore 2 − play of bore 1 > 1 mm',
  ],
  [{ '==': [{ var: 'look' }, 'no'] }, '“The seat, wiped, is” is “pitted”'],
  [
    {
      and: [
        { '>': [{ var: 'gap' }, '1 mm'] },
        { or: [{ '==': [{ var: 'look' }, 'no'] }, { '>': [{ var: 'gap' }, '2 mm'] }] },
      ],
    },
    'gap > 1 mm and (“The seat, wiped, is” is “pitted” or gap > 2 mm)',
  ],
  [{ '!': [{ '>': [{ var: 'gap' }, '1 mm'] }] }, 'not (gap > 1 mm)'],
])('%j is read as words on paper', (logic, words) => {
  expect(written(logic)).toBe(words);
});
