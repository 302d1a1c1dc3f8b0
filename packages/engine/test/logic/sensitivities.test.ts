import { describe, expect, test } from 'vitest';
import {
  type Read,
  type Sensitivities,
  scopeOf,
  sensitivities,
  type TypedAmount,
  typeExpression,
} from '../../src/logic/index.ts';
import { type Kind, parseQuantity, Rational } from '../../src/quantity/index.ts';

const kinds: readonly (readonly [string, Kind])[] = [
  ['a', 'length'],
  ['b', 'length'],
  ['c', 'length'],
  ['force', 'force'],
  ['arm', 'length'],
  ['volume', 'volume'],
  ['strokes', 'strokes'],
  ['warm', 'temperature'],
  ['cold', 'temperature'],
  ['screw', 'pressure per length'],
  ['holes', 'count'],
];
const scope = scopeOf([
  ...kinds.map(([name, kind]) => [name, { type: 'amount', kind }] as const),
  ['worn', { type: 'truth' }],
]);

function typed(json: unknown): TypedAmount {
  const found = typeExpression(json, scope);
  if (!found.ok || found.type.type !== 'amount') throw new Error(JSON.stringify(found));
  const again = typeExpression(json, scope, found.type);
  if (!again.ok) throw new Error(JSON.stringify(again));
  return again.expression;
}

const reading =
  (values: Readonly<Record<string, string | boolean>>): Read =>
  (name) => {
    const value = values[name];
    if (typeof value !== 'string') return value;
    const parsed = parseQuantity(value, kinds.find(([known]) => known === name)?.[1]);
    if (!('quantity' in parsed)) throw new Error(value);
    return parsed.quantity;
  };

function coefficients(found: Sensitivities, values?: Readonly<Record<string, string | boolean>>) {
  const map = found.linear ? found.coefficients : found.at(reading(values ?? {}));
  return map && Object.fromEntries([...map].map(([name, rate]) => [name, rate.toFraction()]));
}

describe('constant coefficients (JCGM 100, 5.1.3: c = ∂f/∂x)', () => {
  test.each<[unknown, Record<string, string>]>([
    [{ var: 'a' }, { a: '1' }],
    ['1 mm', {}],
    [{ difference: ['a', 'b'] }, { a: '1', b: '-1' }],
    [{ change: { from: 'a', to: 'b' } }, { a: '-1', b: '1' }],
    [{ mean: ['a', 'b', 'c'] }, { a: '1/3', b: '1/3', c: '1/3' }],
    [{ mean: ['a', 'a', 'b'] }, { a: '2/3', b: '1/3' }],
    [{ '+': [{ var: 'a' }, { var: 'b' }, '1 mm'] }, { a: '1', b: '1' }],
    [{ '-': [{ var: 'a' }] }, { a: '-1' }],
    [{ '*': ['2.5', { difference: ['a', 'b'] }] }, { a: '5/2', b: '-5/2' }],
    [{ '/': [{ var: 'a' }, '4'] }, { a: '1/4' }],
    [{ share: { of: 'a', in: '50 mm' } }, { a: '1/50' }],
    // N × mm in N·m: a thousandth.
    [{ '*': [{ var: 'force' }, '200 mm'] }, { force: '1/5' }],
    // mL ÷ st in mm³/st: 1 mL = 1000 mm³.
    [{ '/': [{ var: 'volume' }, '500 st'] }, { volume: '2' }],
    [{ '*': [{ var: 'screw' }, '1.5 mm'] }, { screw: '3/2' }],
    // Temperatures: the value and its difference both count one for one.
    [{ difference: ['warm', 'cold'] }, { warm: '1', cold: '-1' }],
    [{ '+': [{ var: 'warm' }, '5 K'] }, { warm: '1' }],
    [{ mean: ['holes'] }, { holes: '1' }],
    [{ lowest: ['a'] }, { a: '1' }],
    [{ lowest: ['2 mm', '3 mm'] }, {}],
    [{ '*': [{ var: 'a' }, { share: { of: '1 mm', in: '4 mm' } }] }, { a: '1/4' }],
  ])('%j', (json, expected) => {
    const found = sensitivities(typed(json));
    expect(found.linear).toBe(true);
    expect(coefficients(found)).toEqual(expected);
  });
});

describe('coefficients that hang on the readings', () => {
  const values = {
    a: '3 mm',
    b: '5 mm',
    c: '5 mm',
    force: '80 N',
    arm: '250 mm',
    volume: '40 mL',
    strokes: '500 st',
    worn: true,
  };
  test.each<[unknown, Record<string, string>]>([
    [{ share: { of: 'a', in: 'b' } }, { a: '1/5', b: '-3/25' }],
    [{ '*': [{ var: 'force' }, { var: 'arm' }] }, { force: '1/4', arm: '2/25' }],
    // 40 mL in 500 st: 80 mm³/st, 2 for each mL and −80/500 for each stroke.
    [{ '/': [{ var: 'volume' }, { var: 'strokes' }] }, { volume: '2', strokes: '-4/25' }],
    [{ lowest: ['a', 'b', 'c'] }, { a: '1' }],
    [{ spread: ['a', 'b'] }, { a: '-1', b: '1' }],
    // A tie: the last of the highest and the first of the lowest, unless another is steeper.
    [{ highest: ['a', 'b', 'c'] }, { c: '1' }],
    [{ highest: ['a', 'c', 'b'] }, { b: '1' }],
    [{ lowest: ['b', 'c'] }, { b: '1' }],
    // Never the same one twice: between readings that are alike the difference is as uncertain as any.
    [{ spread: ['b', 'c'] }, { b: '-1', c: '1' }],
    [{ '-': [{ highest: ['b', 'c'] }, { lowest: ['b', 'c'] }] }, { b: '-1', c: '1' }],
    [{ share: { of: { lowest: ['b', 'c'] }, in: { highest: ['b', 'c'] } } }, { b: '1/5', c: '-1/5' }],
    [
      {
        '-': [
          { highest: [{ '-': [{ '*': ['2', { var: 'c' }] }, '5 mm'] }, { var: 'b' }] },
          { lowest: [{ '-': [{ '*': ['2', { var: 'c' }] }, '5 mm'] }, { var: 'b' }] },
        ],
      },
      { b: '1', c: '-2' },
    ],
    [{ highest: [{ var: 'b' }, { '-': [{ '*': ['2', { var: 'c' }] }, '5 mm'] }] }, { c: '2' }],
    [{ highest: [{ '-': [{ '*': ['2', { var: 'c' }] }, '5 mm'] }, { var: 'b' }] }, { c: '2' }],
    [{ highest: [{ var: 'a' }, '4 mm'] }, {}],
    [{ if: [{ var: 'worn' }, { difference: ['b', 'a'] }, { var: 'c' }] }, { a: '-1', b: '1' }],
    // The condition is read, and has no part in it.
    [{ if: [{ '<': [{ var: 'a' }, '2 mm'] }, { var: 'b' }, { '*': ['2', { var: 'c' }] }] }, { c: '2' }],
    [{ '*': [{ share: { of: 'a', in: 'b' } }, { share: { of: 'b', in: 'a' } }] }, { a: '0', b: '0' }],
  ])('%j', (json, expected) => {
    const found = sensitivities(typed(json));
    expect(found.linear).toBe(false);
    expect(coefficients(found, values)).toEqual(expected);
  });

  test.each<[string, string, Record<string, string>]>([
    // b is 0.1 mm above a: with variances of 0.0001 and 0.04 mm² that is less than 2·√0.0401 = 0.4 mm.
    ['highest', '0.04', { a: '1' }],
    // With 0.0001 and 0.0004 mm² it is more than 2·√0.0005 = 0.045 mm.
    ['highest', '0.0004', { b: '1' }],
  ])('%s, where a coarse reading lies next to a fine one (%s mm²)', (form, coarse, expected) => {
    const found = sensitivities(typed({ [form]: ['a', 'b'] }));
    if (found.linear) throw new Error('linear');
    const variance = { a: coarse, b: '0.0001' };
    const rates = found.at(
      reading({ a: '3.0 mm', b: '3.1 mm' }),
      (name) => Rational.parse(name === 'a' ? variance.a : variance.b) ?? Rational.zero,
    );
    expect(Object.fromEntries([...(rates ?? [])].map(([name, rate]) => [name, rate.toFraction()]))).toEqual(
      expected,
    );
  });

  test.each<[unknown, Record<string, string | boolean>]>([
    [{ share: { of: 'a', in: 'b' } }, { a: '1 mm' }],
    [{ share: { of: 'a', in: 'b' } }, { a: '1 mm', b: '0 mm' }],
    [{ lowest: ['a', 'b'] }, { b: '1 mm' }],
    [{ if: [{ var: 'worn' }, { var: 'a' }, { var: 'b' }] }, { a: '1 mm', b: '1 mm' }],
    [{ '/': [{ var: 'a' }, { '-': ['1 mm', '1 mm'] }] }, { a: '1 mm' }],
  ])('%j without a value has none', (json, values) => {
    expect(coefficients(sensitivities(typed(json)), values)).toBeUndefined();
  });

  test('the branch that is not taken need not be recorded', () => {
    const found = sensitivities(typed({ if: [{ var: 'worn' }, { var: 'a' }, { var: 'b' }] }));
    expect(coefficients(found, { worn: false, b: '1 mm' })).toEqual({ b: '1' });
  });
});
