import { type Amount, evaluateAmount, Rational, type TypedAmount } from '@ferrule/engine';
import { describe, expect, it } from 'vitest';
import { type Bounds, boundsOf, truthsOf } from '../src/interval.ts';

const length = (value: Rational): Amount => ({ kind: 'length', value });
const ranges: Readonly<Record<string, readonly [number, number]>> = { a: [-3, 2], b: [0, 5], c: [4, 4] };
const bounds: Bounds = (name) => {
  const range = ranges[name];
  return range && { low: length(Rational.of(range[0])), high: length(Rational.of(range[1])) };
};

/** The same numbers in each run: a linear congruential generator (constants of Numerical Recipes, from memory). */
function* numbers(seed: number): Generator<number, never> {
  let state = seed;
  for (;;) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    yield state / 2 ** 32;
  }
}

const type = { type: 'amount', kind: 'length' } as const;
const operations = ['plus', 'minus', 'negated', 'lowest', 'highest', 'spread', 'mean'] as const;

function expressionOf(chance: Generator<number, never>, depth: number): TypedAmount {
  const next = (below: number): number => Math.floor(chance.next().value * below);
  if (depth === 0 || next(5) === 0) return { node: 'name', type, name: ['a', 'b', 'c'][next(3)] ?? 'a' };
  const operation = operations[next(operations.length)] ?? 'plus';
  const count = operation === 'negated' ? 1 : operation === 'plus' || operation === 'minus' ? 2 : 1 + next(3);
  const operands = Array.from({ length: count }, () => expressionOf(chance, depth - 1));
  return { node: 'calculation', type, operation, operands };
}

describe('bounds of what is calculated', () => {
  it('hold every value that plausible readings give', () => {
    const chance = numbers(7);
    for (let round = 0; round < 400; round++) {
      const typed = expressionOf(chance, 4);
      const range = boundsOf(typed, bounds);
      if (range === undefined) throw new Error('a length has no bounds');
      const { low, high } = range;
      for (let time = 0; time < 5; time++) {
        const values = new Map(
          Object.entries(ranges).map(([name, [from, to]]) => {
            const part = Math.floor(chance.next().value * 5);
            return [name, length(Rational.of(from * 4 + (to - from) * part, 4))] as const;
          }),
        );
        const answer = evaluateAmount(typed, (name) => values.get(name));
        if (!('amount' in answer)) throw new Error('no value');
        expect(answer.amount.value.compare(low.value)).toBeGreaterThanOrEqual(0);
        expect(answer.amount.value.compare(high.value)).toBeLessThanOrEqual(0);
      }
    }
  });

  it('are met exactly where each name stands once', () => {
    const minus: TypedAmount = {
      node: 'calculation',
      type,
      operation: 'minus',
      operands: [
        { node: 'name', type, name: 'b' },
        { node: 'name', type, name: 'a' },
      ],
    };
    const { low, high } = boundsOf(minus, bounds) ?? {};
    expect([low?.value.toString(), high?.value.toString()]).toEqual(['-2', '8']);
  });

  it.each([
    ['<', 'a', 'c', { true: true, false: false }],
    ['>=', 'a', 'c', { true: false, false: true }],
    ['<=', 'b', 'c', { true: true, false: true }],
    ['==', 'c', 'c', { true: true, false: false }],
    ['!=', 'a', 'c', { true: true, false: false }],
  ] as const)('say what %s of %s and %s can be', (relation, left, right, expected) => {
    const operands = [left, right].map((name) => ({ node: 'name', type, name }) as const);
    expect(truthsOf({ node: 'comparison', type: { type: 'truth' }, relation, operands }, bounds)).toEqual(
      expected,
    );
  });
});
