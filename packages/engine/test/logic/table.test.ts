import { describe, expect, test } from 'vitest';
import {
  compileAmount,
  evaluate,
  evaluateAmount,
  type Lowered,
  lower,
  type Read,
  scopeOf,
  sensitivities,
  type Table,
  type TypedAmount,
  typeExpression,
  writeExplanation,
  writeFormula,
} from '../../src/logic/index.ts';
import { type Kind, parseQuantity, type Quantity } from '../../src/quantity/index.ts';

function quantity(text: string, kind?: Kind): Quantity {
  const parsed = parseQuantity(text, kind);
  if (!('quantity' in parsed)) throw new Error(text);
  return parsed.quantity;
}

const table = (
  id: string,
  of: Kind,
  gives: Kind,
  ...points: readonly (readonly [string, string])[]
): readonly [string, Table] => [
  id,
  {
    id,
    title: id.replaceAll('-', ' '),
    of,
    gives,
    points: points.map(([at, value]) => [quantity(at, of), quantity(value, gives)] as const),
  },
];

const tables = new Map([
  table('leak-down', 'temperature', 'time', ['20 °C', '12 s'], ['30 °C', '9.5 s'], ['40 °C', '8 s']),
  table('oven', 'ratio', 'temperature', ['0', '20 °C'], ['100 %', '70 °C']),
  table('up-and-down', 'length', 'length', ['0 mm', '0 mm'], ['1 mm', '4 mm'], ['3 mm', '2 mm']),
  table('level', 'length', 'length', ['0 mm', '5 mm'], ['1 mm', '5 mm'], ['2 mm', '6 mm']),
]);
const kinds = new Map<string, Kind>([
  ['oil', 'temperature'],
  ['a', 'length'],
  ['b', 'length'],
  ['before', 'angle'],
  ['after', 'angle'],
  ['share', 'ratio'],
]);
const scope = scopeOf(
  [...kinds].map(([name, kind]) => [name, { type: 'amount', kind }]),
  tables,
);

function amount(json: unknown): TypedAmount {
  const found = typeExpression(json, scope);
  if (!found.ok || found.type.type !== 'amount') throw new Error(JSON.stringify(found));
  const again = typeExpression(json, scope, found.type);
  if (!again.ok) throw new Error(JSON.stringify(again));
  return again.expression;
}
function lowered(json: unknown): Lowered {
  const found = typeExpression(json, scope, { type: 'truth' });
  if (!found.ok) throw new Error(JSON.stringify(found));
  return lower(found.expression);
}
const faults = (json: unknown): readonly string[] => {
  const found = typeExpression(json, scope);
  return found.ok ? [] : found.faults.map(({ code, at }) => `${code} ${at}`);
};
const reading =
  (values: Readonly<Record<string, string>>): Read =>
  (name) => {
    const text = values[name];
    return text === undefined ? undefined : quantity(text, kinds.get(name));
  };

/** The value as text in base units (K, s, mm, °), or the codes of what is lacking. */
function value(json: unknown, values: Readonly<Record<string, string>>): string {
  const typed = amount(json);
  const compiled = compileAmount(typed)(reading(values));
  const explained = evaluateAmount(typed, reading(values));
  const write = (found: typeof compiled): string =>
    'amount' in found
      ? found.amount.value.toFraction()
      : found.lacks.map((lack) => ('name' in lack ? `${lack.lack} ${lack.name}` : lack.lack)).join();
  expect(write(explained)).toBe(write(compiled));
  return write(compiled);
}

const slope = (json: unknown, values: Readonly<Record<string, string>>) => {
  const found = sensitivities(amount(json));
  const map = found.linear ? found.coefficients : found.at(reading(values));
  return map && Object.fromEntries([...map].map(([name, rate]) => [name, rate.toFraction()]));
};

describe('a table', () => {
  const leakDown = { table: { of: 'leak-down', at: 'oil' } };
  const wavy = { table: { of: 'up-and-down', at: 'a' } };

  test.each([
    ['20 °C', '12'],
    ['24 °C', '11'], // a quarter of a second less for each kelvin
    ['30 °C', '19/2'],
    ['35 °C', '35/4'],
    ['40 °C', '8'],
    ['19.999 °C', 'outside-table'],
    ['40.001 °C', 'outside-table'],
  ])('at %s gives %s s, in proportion between two points and nothing outside', (oil, expected) => {
    expect(value(leakDown, { oil })).toBe(expected);
  });

  test('gives temperatures as well: half way from 20 °C to 70 °C is 45 °C', () => {
    expect(value({ table: { of: 'oven', at: '50 %' } }, {})).toBe('45');
  });

  test('takes an expression, and waits for what that reads', () => {
    const json = { table: { of: 'up-and-down', at: { difference: ['a', 'b'] } } };
    expect(value(json, { a: '3 mm', b: '2.5 mm' })).toBe('2');
    expect(value(json, { a: '3 mm' })).toBe('missing b');
  });

  test('has the slope between two of its points, and at one of them the steeper', () => {
    expect(slope(wavy, { a: '0.5 mm' })).toEqual({ a: '4' });
    expect(slope(wavy, { a: '2 mm' })).toEqual({ a: '-1' });
    expect(slope(wavy, { a: '1 mm' })).toEqual({ a: '4' });
    expect(slope({ table: { of: 'level', at: 'a' } }, { a: '1 mm' })).toEqual({ a: '1' });
    expect(slope({ table: { of: 'up-and-down', at: { '*': ['2', { var: 'a' }] } } }, { a: '1 mm' })).toEqual({
      a: '-2',
    });
    expect(slope(wavy, { a: '3.1 mm' })).toBeUndefined();
  });

  test('of a literal is a constant', () => {
    expect(slope({ '*': [{ table: { of: 'up-and-down', at: '0.5 mm' } }, { var: 'share' }] }, {})).toEqual({
      share: '2',
    });
  });

  test('has a name, and an argument of its kind', () => {
    expect(faults({ table: { of: 'leak', at: 'oil' } })).toEqual(['unknown-table /table/of']);
    expect(faults({ table: { of: 'leak-down', at: 'a' } })).toEqual(['wrong-kind /table/at']);
    expect(faults({ table: { of: 'leak-down', at: { difference: ['oil', 'oil'] } } })).toEqual([
      'wrong-kind /table/at',
    ]);
    expect(faults({ table: { of: 'leak-down' } })).toEqual(['wrong-shape /table']);
    expect(faults({ table: ['leak-down', 'oil'] })).toEqual(['wrong-shape /table']);
    expect(faults({ table: { of: { var: 'oil' }, at: 'oil' } })).toEqual(['unknown-table /table/of']);
    expect(faults({ '+': [leakDown, '1 mm'] })).toEqual(['wrong-kind /+']);
  });

  test('says what it gave, and why it gave nothing', () => {
    const limit = lowered({ '<=': [leakDown, '10 s'] });
    expect(writeExplanation(evaluate(limit, reading({ oil: '26 °C' })).explanation)).toBe(
      'leak down at oil 26 °C = 10.5 s ≤ 10 s: false',
    );
    const { explanation, lacks, truth } = evaluate(limit, reading({ oil: '45.0 °C' }));
    expect(truth).toBeUndefined();
    expect(lacks).toEqual([
      {
        lack: 'outside-table',
        table: 'leak down',
        at: '45.0 °C',
        from: '20 °C',
        until: '40 °C',
        names: ['oil'],
      },
    ]);
    expect(writeExplanation(explanation)).toBe(
      'leak down at oil 45.0 °C (no value) ≤ 10 s: unknown, 45.0 °C lies outside the table leak down, 20 °C to 40 °C',
    );
    expect(writeExplanation(evaluate(limit, reading({})).explanation)).toBe(
      'leak down at oil (not recorded) ≤ 10 s: unknown, oil is not recorded',
    );
    expect(writeFormula(amount(leakDown))).toBe('the table leak down at oil');
  });

  test('two look-ups outside of one table are told of both', () => {
    const both = { '+': [wavy, { table: { of: 'up-and-down', at: 'b' } }] };
    expect(value(both, { a: '4 mm', b: '5 mm' })).toBe('outside-table,outside-table');
    expect(value({ '+': [wavy, wavy] }, { a: '4 mm' })).toBe('outside-table');
  });
});

describe('around a circle', () => {
  const turned = { around: { of: { change: { from: 'before', to: 'after' } }, circle: '360°' } };

  test.each([
    ['10°', '20°', '10'],
    ['350°', '10°', '20'],
    ['10°', '350°', '-20'],
    ['0°', '180°', '180'],
    ['180°', '0°', '180'], // half a circle is the same to either side; it counts as ahead
    ['0°', '180.5°', '-359/2'],
    ['0°', '720°', '0'],
    ['0°', '-1000°', '80'],
  ])('from %s to %s is %s°', (before, after, expected) => {
    expect(value(turned, { before, after })).toBe(expected);
  });

  test('a shift by whole circles changes no derivative', () => {
    expect(sensitivities(amount(turned)).linear).toBe(true);
    expect(slope(turned, {})).toEqual({ after: '1', before: '-1' });
  });

  test('the circle is written out, positive and of the same kind', () => {
    expect(faults({ around: { of: 'before', circle: 'after' } })).toEqual(['wrong-shape /around/circle']);
    expect(faults({ around: { of: 'before', circle: '-360°' } })).toEqual(['wrong-shape /around/circle']);
    expect(faults({ around: { of: 'before', circle: '0°' } })).toEqual(['wrong-shape /around/circle']);
    expect(faults({ around: { of: 'before', circle: '5 mm' } })).toEqual(['wrong-kind /around/circle']);
    expect(faults({ around: { of: 'oil', circle: '10 °C' } })).toEqual(['wrong-kind /around']);
    expect(faults({ around: ['before', '360°'] })).toEqual(['wrong-shape /around']);
  });

  test('is explained', () => {
    const { explanation } = evaluate(
      lowered({ '<=': [turned, '2°'] }),
      reading({ before: '359.5°', after: '0.5°' }),
    );
    expect(writeExplanation(explanation)).toBe(
      '(after 0.5° − before 359.5° = -359.0°) around a circle of 360° = 1.0° ≤ 2°: true',
    );
    expect(writeFormula(amount(turned))).toBe('(after − before) around a circle of 360°');
  });
});
