import {
  type Amount,
  evaluateAmount,
  parseQuantity,
  type Quantity,
  Rational,
  type TypedAmount,
} from '@ferrule/engine';
import { describe, expect, it } from 'vitest';
import { type Bounds, boundsOf, truthsOf } from '../src/interval.ts';
import { boundsOf as boundsOfValue } from '../src/replay/value-bounds.ts';

type Table = Extract<TypedAmount, { operation: 'table' }>['table'];

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
const operations = [
  'plus',
  'minus',
  'negated',
  'lowest',
  'highest',
  'spread',
  'mean',
  'around',
  'table',
] as const;
const quantity = (digits: number): Quantity => {
  const parsed = parseQuantity(`${digits} mm`);
  if ('fault' in parsed) throw new Error(`${digits} mm`);
  return parsed.quantity;
};
const circle: TypedAmount = { node: 'literal', type, amount: quantity(3) };
/** Up and down, so that what lies between two arguments goes beyond what it gives at them. */
const table: Table = {
  id: 'wavy',
  title: 'wavy',
  of: 'length',
  gives: 'length',
  points: [
    [-4, 1],
    [-1, 5],
    [0, -2],
    [2, -3],
    [6, 9],
  ].map(([at = 0, value = 0]) => [quantity(at), quantity(value)]),
};

function expressionOf(chance: Generator<number, never>, depth: number): TypedAmount {
  const next = (below: number): number => Math.floor(chance.next().value * below);
  if (depth === 0 || next(5) === 0) return { node: 'name', type, name: ['a', 'b', 'c'][next(3)] ?? 'a' };
  const operation = operations[next(operations.length)] ?? 'plus';
  if (operation === 'around')
    return { node: 'calculation', type, operation, operands: [expressionOf(chance, depth - 1), circle] };
  if (operation === 'table')
    return { node: 'calculation', type, operation, operands: [expressionOf(chance, depth - 1)], table };
  const count = operation === 'negated' ? 1 : operation === 'plus' || operation === 'minus' ? 2 : 1 + next(3);
  const operands = Array.from({ length: count }, () => expressionOf(chance, depth - 1));
  return { node: 'calculation', type, operation, operands };
}

describe('bounds of what is calculated', () => {
  it('hold every value that plausible readings give', () => {
    const chance = numbers(7);
    let held = 0;
    for (let round = 0; round < 600; round++) {
      const typed = expressionOf(chance, 4);
      const range = boundsOf(typed, bounds);
      const ofValues = boundsOfValue(typed, (name) => {
        const known = bounds(name);
        return known && { low: known.low.value, high: known.high.value };
      });
      for (let time = 0; time < 5; time++) {
        const values = new Map(
          Object.entries(ranges).map(([name, [from, to]]) => {
            const part = Math.floor(chance.next().value * 5);
            return [name, length(Rational.of(from * 4 + (to - from) * part, 4))] as const;
          }),
        );
        const answer = evaluateAmount(typed, (name) => values.get(name));
        // Outside of a table there is no value.
        if (!('amount' in answer)) continue;
        const { value } = answer.amount;
        if (range === undefined) throw new Error('a value where none can be');
        expect(value.compare(range.low.value)).toBeGreaterThanOrEqual(0);
        expect(value.compare(range.high.value)).toBeLessThanOrEqual(0);
        expect(ofValues.low === undefined || value.compare(ofValues.low) >= 0).toBe(true);
        expect(ofValues.high === undefined || value.compare(ofValues.high) <= 0).toBe(true);
        held += 1;
      }
    }
    expect(held).toBeGreaterThan(1500);
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
    ['table', [-3, 2], ['-3', '5']],
    ['table', [4, 4], ['3', '3']],
    ['table', [5, 8], ['6', '9']],
    ['around', [-1, 1], ['-1', '1']],
    ['around', [2, 4], ['-1', '1']],
    ['around', [1, 2], ['-3/2', '3/2']],
    ['around', [0, 30], ['-3/2', '3/2']],
  ] as const)('of a %s over %j are %j', (operation, [from, to], expected) => {
    const operand: TypedAmount = { node: 'name', type, name: 'x' };
    const typed: TypedAmount =
      operation === 'table'
        ? { node: 'calculation', type, operation, operands: [operand], table }
        : { node: 'calculation', type, operation, operands: [operand, circle] };
    const ends = { low: length(Rational.of(from)), high: length(Rational.of(to)) };
    const { low, high } = boundsOf(typed, () => ends) ?? {};
    expect([low?.value.toString(), high?.value.toString()]).toEqual(expected);
    const also = boundsOfValue(typed, () => ({ low: ends.low.value, high: ends.high.value }));
    expect([also.low?.toString(), also.high?.toString()]).toEqual(expected);
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
