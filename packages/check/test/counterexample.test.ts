import { offers, type Plan } from '@ferrule/engine';
import { explore } from '@ferrule/engine/proof';
import { expect, test } from 'vitest';
import { length, packOf, planOf, type Written } from '../../engine/test/small-pack.ts';
import { type Counterexample, Counterexamples } from '../src/counterexample.ts';

const ways = (plan: Plan): readonly Counterexample[] => {
  const found = new Counterexamples('sha256:0');
  return explore(plan).refutations.map((one) => found.of(plan, one));
};

const when = (more: Written): Written => ({
  when: { logic: more },
  steps: [{ step: Object.hasOwn(more, '>') ? 'above' : 'below', do: 'x' }],
});

test.each([
  ['two cases that are true at once', '2 mm', '4 mm', (gap: number) => gap > 2 && gap < 4],
  ['no case that is true', '5 mm', '3 mm', (gap: number) => gap <= 5 && gap >= 3],
])('a job with a reading stops at a choice with %s', (_, above, below, isThere) => {
  const plan = planOf(
    packOf({
      readings: { gap: length() },
      steps: [
        { step: 'read', read: 'gap' },
        {
          choose: 'which',
          cases: [when({ '>': [{ var: 'gap' }, above] }), when({ '<': [{ var: 'gap' }, below] })],
        },
      ],
    }),
  );
  const [first] = ways(plan);
  const { replayed } = first ?? {};
  if (replayed?.failed !== undefined || replayed === undefined) throw new Error(JSON.stringify(replayed));
  const read = replayed.facts.find(({ fact }) => fact.kind === 'reading')?.fact;
  expect(isThere(Number.parseFloat(read?.kind === 'reading' ? read.digits : ''))).toBe(true);
  expect(offers(plan, replayed.job).blocked[0]?.message).toMatch(/has not exactly one true case/);
});

test('a job goes the first way to a fault, and the same one at other bores is not gone again', () => {
  const plan = planOf(
    packOf(
      {
        steps: [
          {
            each: 'bore',
            of: ['1', '2'],
            steps: [{ step: 'seat', do: 'x', requires: { cover: 'off' }, 'not-applicable': 'lead' }],
          },
          {
            each: 'bore',
            of: ['1', '2'],
            id: 'again',
            steps: [
              { step: 'lift', do: 'x', requires: { cover: 'off' }, 'only-if': { state: { cover: 'on' } } },
            ],
          },
        ],
      },
      { states: { cover: { is: ['on', 'off'], starts: 'on', ends: 'on' } } },
    ),
  );
  const found = ways(plan);
  expect(found.length).toBeGreaterThan(0);
  expect(found[0]?.replayed?.failed).toBeUndefined();
  expect(found.filter((one) => one.replayed !== undefined).length).toBe(
    new Set(explore(plan).refutations.map((one) => ('pointer' in one ? one.pointer : ''))).size,
  );
});
