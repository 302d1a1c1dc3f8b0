import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { afterEach, describe, expect, test, vi } from 'vitest';
import {
  type ExpressionFaultCode,
  evaluate,
  lower,
  scopeOf,
  type Type,
  typeExpression,
  type Value,
} from '../../src/logic/index.ts';
import { parseQuantity } from '../../src/quantity/index.ts';

/*
 * What json-logic-js 2.0.5 itself answers stands beside what an expression of a pack does with the same thing, so that
 * each trap is seen to be real. The library's answers were obtained by running it.
 */

const scope = scopeOf([
  ['travel', { type: 'amount', kind: 'length' }],
  ['other', { type: 'amount', kind: 'length' }],
  ['load', { type: 'amount', kind: 'torque' }],
  ['uses', { type: 'amount', kind: 'count' }],
  ['cold', { type: 'truth' }],
  ['variant', { type: 'text', among: ['marram-three', 'marram-four'] }],
  ['serial', { type: 'text' }],
]);

function plainly(rule: unknown, data: unknown = {}): unknown {
  return jsonLogic.apply(rule as RulesLogic, data);
}

function codes(json: unknown, expected?: Type): readonly ExpressionFaultCode[] {
  const typed = typeExpression(json, scope, expected);
  return typed.ok ? [] : typed.faults.map(({ code }) => code);
}

function decided(json: unknown, values: Readonly<Record<string, unknown>> = {}) {
  const typed = typeExpression(json, scope, { type: 'truth' });
  if (!typed.ok) throw new Error(JSON.stringify(typed));
  const condition = lower(typed.expression);
  // A host may hand in anything at all: what is not of the declared type has to count as not recorded.
  return evaluate(condition, (name) => (Object.hasOwn(values, name) ? (values[name] as Value) : undefined));
}

const quantity = (text: string): Value => {
  const parsed = parseQuantity(text);
  if (!('quantity' in parsed)) throw new Error(text);
  return parsed.quantity;
};

const unknown = { truth: undefined };

describe('a value that is not there, compared with a limit', () => {
  const plain = { '<=': [{ var: 'travel' }, 5] };
  const ours = { '<=': [{ var: 'travel' }, '5 mm'] };
  const nothings: readonly (readonly [string, unknown])[] = [
    ['null', null],
    ['an empty text', ''],
    ['a space', ' '],
    ['an empty list', []],
    ['false', false],
    ['a list of one number', [3]],
    ['digits as text', '3'],
  ];

  test('missing: true in plain JSON Logic, unknown here', () => {
    expect(plainly(plain)).toBe(true);
    expect(decided(ours)).toMatchObject({ truth: undefined, missing: ['travel'] });
  });

  test.each(nothings)('%s: true in plain JSON Logic, unknown here', (_, value) => {
    expect(plainly(plain, { travel: value })).toBe(true);
    expect(decided(ours, { travel: value })).toMatchObject({ truth: undefined, lacks: [{ name: 'travel' }] });
  });

  test('an amount of another kind is no value either', () => {
    const answer = decided(ours, { travel: quantity('3 N·m') });
    expect(answer).toMatchObject({
      truth: undefined,
      missing: [],
      lacks: [{ lack: 'unfit', name: 'travel' }],
    });
  });

  test('between two limits, against a missing lower limit, and not above', () => {
    expect(plainly({ '<=': [0, { var: 'travel' }, 5] })).toBe(true);
    expect(decided({ '<=': ['0 mm', { var: 'travel' }, '5 mm'] })).toMatchObject(unknown);
    expect(plainly({ '>=': [3, { var: 'other' }] })).toBe(true);
    expect(decided({ '>=': ['3 mm', { var: 'other' }] })).toMatchObject(unknown);
    expect(plainly({ '!': { '>': [{ var: 'travel' }, 20] } })).toBe(true);
    expect(decided({ '!': { '>': [{ var: 'travel' }, '20 mm'] } })).toMatchObject(unknown);
  });

  test('the spread of two readings with one missing', () => {
    const spread = {
      '-': [{ max: [{ var: 'travel' }, { var: 'other' }] }, { min: [{ var: 'travel' }, { var: 'other' }] }],
    };
    expect(plainly({ '<=': [0, spread, 0.2] }, { other: 0.1 })).toBe(true);
    for (const ours of [spread, { spread: ['travel', 'other'] }]) {
      const answer = decided({ '<=': ['0 mm', ours, '0.2 mm'] }, { other: quantity('0.1 mm') });
      expect(answer).toMatchObject({ truth: undefined, missing: ['travel'] });
    }
  });

  test('arithmetic on nothing', () => {
    expect(plainly({ '*': [{ var: 'uses' }, 5] })).toBeNaN();
    expect(plainly({ '/': [5, { var: 'uses' }] })).toBe(Number.POSITIVE_INFINITY);
    expect(plainly({ '-': [{ var: 'uses' }, 1] })).toBe(-1);
    for (const amount of [
      { '*': [{ var: 'uses' }, '5'] },
      { '/': ['5', { var: 'uses' }] },
      { '-': [{ var: 'uses' }, '1'] },
    ]) {
      for (const relation of ['<', '<=', '==', '!=', '>=', '>']) {
        expect(decided({ [relation]: [amount, '0'] })).toMatchObject({ truth: undefined, missing: ['uses'] });
      }
    }
  });

  test('a missing variant is not another variant', () => {
    expect(plainly({ '!=': [{ var: 'variant' }, 'marram-four'] })).toBe(true);
    expect(decided({ '!=': [{ var: 'variant' }, 'marram-four'] })).toMatchObject({
      truth: undefined,
      missing: ['variant'],
    });
    expect(decided({ '!=': [{ var: 'variant' }, 'marram-four'] }, { variant: 'marram-six' })).toMatchObject(
      unknown,
    );
  });
});

describe('texts and numbers', () => {
  test('a decimal comma: not above the limit in plain JSON Logic, refused here', () => {
    expect(plainly({ '!': { '>': ['12,5', 20] } })).toBe(true);
    expect(codes({ '!': { '>': ['12,5 mm', '20 mm'] } })).toEqual(['not-a-quantity']);
    expect(decided({ '!': { '>': [{ var: 'travel' }, '20 mm'] } }, { travel: '12,5' })).toMatchObject(
      unknown,
    );
  });

  test('digits in text order', () => {
    expect(plainly({ '<': ['10', '9'] })).toBe(true);
    expect(decided({ '<': ['10', '9'] })).toMatchObject({ truth: false });
    expect(decided({ '<': ['9', '10'] })).toMatchObject({ truth: true });
    expect(codes({ '<': [{ var: 'serial' }, '9'] })).toEqual(['wrong-type']);
  });

  test('a number read from the head of a text', () => {
    expect(plainly({ '+': ['41.63 mm', 0] })).toBe(41.63);
    expect(codes({ '+': ['41.63 mm', 0] })).toEqual(['wrong-kind']);
    expect(plainly({ '+': ['12,5', 0] })).toBe(12);
    expect(codes({ '+': ['12,5', 0] })).toEqual(['not-a-quantity']);
  });

  test('equality that converts', () => {
    expect(plainly({ '==': ['', 0] })).toBe(true);
    expect(codes({ '==': ['', { var: 'uses' }] })).toEqual(['not-a-quantity']);
    expect(plainly({ '==': [[], 0] })).toBe(true);
    expect(codes({ '==': [[], 0] })).toEqual(['not-an-expression']);
    expect(plainly({ '==': ['1', 1] })).toBe(true);
    expect(codes({ '==': [{ var: 'serial' }, { var: 'uses' }] })).toEqual(['wrong-type']);
    // A text is compared as a text even if it is made of digits.
    expect(decided({ '==': [{ var: 'serial' }, '1'] }, { serial: '1' })).toMatchObject({ truth: true });
    expect(decided({ '==': [{ var: 'serial' }, '1'] }, { serial: '1.0' })).toMatchObject({ truth: false });
  });

  test('a part of a text', () => {
    expect(plainly({ in: ['x', 'max'] })).toBe(true);
    expect(plainly({ in: ['', 'max'] })).toBe(true);
    expect(codes({ in: ['x', 'max'] })).toEqual(['wrong-type']);
    expect(codes({ in: [{ var: 'serial' }, { var: 'variant' }] })).toEqual(['wrong-type']);
    expect(decided({ in: [{ var: 'serial' }, ['max', 'min']] }, { serial: 'x' })).toMatchObject({
      truth: false,
    });
    expect(decided({ in: [{ var: 'serial' }, ['max', 'min']] })).toMatchObject({
      truth: undefined,
      missing: ['serial'],
    });
  });
});

describe('what counts as true', () => {
  test('texts and lists made truths by !!', () => {
    expect(plainly({ '!!': ['0'] })).toBe(true);
    expect(plainly({ '!!': ['false'] })).toBe(true);
    expect(plainly({ '!!': [[]] })).toBe(false);
    for (const value of ['0', 'false', []]) expect(codes({ '!!': [value] })).toEqual(['refused-operator']);
  });

  test('a text as a condition', () => {
    expect(plainly({ and: [true, 'fail'] })).toBe('fail');
    expect(codes({ and: [true, 'fail'] })).toEqual(['wrong-type']);
    expect(codes('fail', { type: 'truth' })).toEqual(['wrong-type']);
    expect(codes({ if: ['false', '1 mm', '2 mm'] })).toEqual(['wrong-type']);
    expect(decided({ and: [true, { var: 'cold' }] }, { cold: 'fail' })).toMatchObject(unknown);
  });

  test('an amount as a condition', () => {
    expect(plainly({ or: [0, { var: 'travel' }] }, { travel: 3 })).toBe(3);
    expect(codes({ or: [0, { var: 'travel' }] })).toEqual(['wrong-type', 'wrong-type']);
    expect(codes({ '!': [{ var: 'travel' }] })).toEqual(['wrong-type']);
  });

  test('an object with two keys, or none', () => {
    const two = { '<': [2, 1], '>': [1, 2] };
    expect(plainly({ if: [two, 'yes', 'no'] })).toBe('yes');
    expect(codes(two)).toEqual(['not-one-key']);
    expect(plainly({ if: [{}, 'yes', 'no'] })).toBe('yes');
    expect(codes({})).toEqual(['not-one-key']);
  });
});

describe('operands that are dropped', () => {
  test('a fourth operand of <=, a third of >=', () => {
    expect(plainly({ '<=': [1, 2, 3, 0] })).toBe(true);
    expect(codes({ '<=': ['1 mm', '2 mm', '3 mm', '0 mm'] })).toEqual(['wrong-count']);
    expect(plainly({ '>=': [3, 2, 9] })).toBe(true);
    expect(codes({ '>=': ['3 mm', '2 mm', '9 mm'] })).toEqual(['wrong-count']);
  });

  test('a fourth operand of if, a third of ==, a second of !', () => {
    expect(plainly({ '==': [1, 1, 2] })).toBe(true);
    expect(codes({ '==': ['1 mm', '1 mm', '2 mm'] })).toEqual(['wrong-count']);
    expect(plainly({ '!': [false, true] })).toBe(true);
    expect(codes({ '!': [false, true] })).toEqual(['wrong-count']);
    expect(plainly({ if: [false, 1] })).toBe(null);
    expect(codes({ if: [false, '1 mm'] })).toEqual(['wrong-count']);
    expect(codes({ if: [false, '1 mm', true, '2 mm', '3 mm'] })).toEqual(['wrong-count']);
  });
});

describe('names', () => {
  test.each(['constructor', '__proto__', 'toString', 'travel.length', 'hasOwnProperty', 'valueOf'])(
    '%s is no name unless it is declared',
    (name) => {
      const read = plainly({ var: name }, { travel: 'x' });
      expect(read).not.toBe(null);
      expect(codes({ '==': [{ var: name }, 'x'] })).toEqual(['undeclared-name']);
      expect(codes({ lowest: [name, 'travel'] })).toEqual(['undeclared-name']);
    },
  );

  test('such a name, once declared, is one flat name', () => {
    const odd = scopeOf(
      ['__proto__', 'constructor', 'baseline.travel'].map((name) => [name, { type: 'truth' }] as const),
    );
    for (const name of odd.names()) {
      const typed = typeExpression({ var: name }, odd, { type: 'truth' });
      if (!typed.ok) throw new Error(JSON.stringify(typed));
      const condition = lower(typed.expression);
      expect(evaluate(condition, () => undefined)).toMatchObject({ truth: undefined, missing: [name] });
      expect(evaluate(condition, (asked) => (asked === name ? true : undefined))).toMatchObject({
        truth: true,
      });
    }
  });

  test('no default, no number, no whole record, no computed name', () => {
    expect(plainly({ '<=': [{ var: ['travel', 0] }, 5] })).toBe(true);
    expect(plainly({ var: '' }, { travel: 1 })).toEqual({ travel: 1 });
    for (const name of [['travel', 0], '', [], 1, null, { var: 'serial' }, ['travel', null]]) {
      expect(codes({ var: name })).toEqual(['bad-name']);
    }
    expect(codes({ var: ['travel'] })).toEqual([]);
  });
});

describe('presence and lists', () => {
  test('missing, which misses much', () => {
    for (const value of [Number.NaN, ' ', [], false]) {
      expect(plainly({ missing: ['travel'] }, { travel: value })).toEqual([]);
      expect(decided({ '<': [{ var: 'travel' }, '1 mm'] }, { travel: value })).toMatchObject(unknown);
    }
    expect(codes({ missing: ['travel'] })).toEqual(['refused-operator']);
  });

  test('missing_some, satisfied by one reading named twice', () => {
    expect(plainly({ missing_some: [2, ['a', 'a']] }, { a: 1 })).toEqual([]);
    expect(codes({ missing_some: [2, ['travel', 'travel']] })).toEqual(['refused-operator']);
  });

  test('quantifiers', () => {
    expect(plainly({ none: [{ var: 'list' }, { '>': [{ var: '' }, 5] }] })).toBe(true);
    expect(plainly({ all: [{ var: 'list' }, { '<=': [{ var: '' }, 5] }] }, { list: [1, null, 2] })).toBe(
      true,
    );
    const outer = { all: [[1], { '<=': [{ var: 'limit' }, 5] }] };
    expect(plainly(outer, { limit: 9 })).toBe(true);
    for (const operator of ['all', 'some', 'none', 'map', 'filter', 'reduce', 'merge']) {
      expect(codes({ [operator]: [['1 mm'], { '<=': [{ var: 'travel' }, '5 mm'] }] })).toEqual([
        'refused-operator',
      ]);
    }
    // Written out, the one that is missing keeps the whole open.
    const written = { and: [{ '<=': [{ var: 'travel' }, '5 mm'] }, { '<=': [{ var: 'other' }, '5 mm'] }] };
    expect(decided(written, { travel: quantity('1 mm') })).toMatchObject({
      truth: undefined,
      missing: ['other'],
    });
  });
});

describe('the machine', () => {
  afterEach(() => vi.restoreAllMocks());

  test('twelve thousand levels', () => {
    let deep: unknown = { var: 'cold' };
    for (let i = 0; i < 12_000; i++) deep = { '!': [deep] };
    expect(() => plainly(deep)).toThrow(RangeError);
    expect(codes(deep)).toEqual(['too-deep']);
    let lists: unknown = 'x';
    for (let i = 0; i < 12_000; i++) lists = [lists];
    expect(codes({ max: lists })).toEqual(['too-large']);
  });

  test('an expression that contains itself', () => {
    const and: unknown[] = [];
    const loop = { and };
    and.push(loop);
    expect(codes(loop)).toEqual(['too-deep']);
    const list: unknown[] = [];
    list.push(list);
    expect(codes({ max: list })).toEqual(['too-large']);
  });

  test('writing to the console', () => {
    const log = vi.spyOn(console, 'log').mockImplementation(() => undefined);
    expect(plainly({ log: 'x' })).toBe('x');
    expect(log).toHaveBeenCalledTimes(1);
    expect(codes({ log: 'x' })).toEqual(['refused-operator']);
    expect(log).toHaveBeenCalledTimes(1);
  });

  test('calling a method', () => {
    jsonLogic.add_operation('Text', String);
    try {
      expect(plainly({ 'Text.fromCharCode': [65] })).toBe('A');
      expect(codes({ 'Text.fromCharCode': [65] })).toEqual(['unknown-operator']);
      expect(codes({ method: [{ var: 'serial' }, 'trim'] })).toEqual(['refused-operator']);
    } finally {
      jsonLogic.rm_operation('Text');
    }
  });

  test('another user of the library changes an operator', () => {
    const rule = { '<=': [{ var: 'travel' }, '19.20 mm'] };
    const within = { travel: quantity('19.20 mm') };
    const beyond = { travel: quantity('19.21 mm') };
    jsonLogic.add_operation('<=', () => true);
    jsonLogic.add_operation('-', () => 0);
    try {
      expect(plainly({ '<=': [2, 1] })).toBe(true);
      expect(decided(rule, within)).toMatchObject({ truth: true });
      expect(decided(rule, beyond)).toMatchObject({ truth: false });
    } finally {
      jsonLogic.add_operation('<=', (a, b, c) => (c === undefined ? a <= b : a <= b && b <= c));
      jsonLogic.add_operation('-', (a, b) => (b === undefined ? -a : a - b));
    }
    // Even the one operator that is relied on cannot be turned into a wrong answer.
    jsonLogic.add_operation('in', () => true);
    try {
      expect(() => decided(rule, beyond)).toThrow('disagree');
      expect(() => decided(rule)).toThrow('disagree');
    } finally {
      jsonLogic.add_operation('in', (a, b) => b?.indexOf?.(a) >= 0);
    }
    expect(decided(rule, beyond)).toMatchObject({ truth: false });
  });

  test('an operator from the prototype', () => {
    for (const operator of ['constructor', 'toString', '__proto__', 'hasOwnProperty']) {
      expect(codes(JSON.parse(`{"${operator}": [1, 2]}`))).toEqual(['unknown-operator']);
    }
  });
});

describe('doubles at a limit', () => {
  test('41.63 − 22.43 ≤ 19.20', () => {
    expect(plainly({ '<=': [{ '-': [41.63, 22.43] }, 19.2] })).toBe(false);
    expect(decided({ '<=': [{ difference: ['41.63 mm', '22.43 mm'] }, '19.20 mm'] })).toMatchObject({
      truth: true,
    });
    expect(decided({ '==': [{ difference: ['41.63 mm', '22.43 mm'] }, '19.20 mm'] })).toMatchObject({
      truth: true,
    });
  });

  test('an inch reading exactly at a limit in millimetres', () => {
    let wrong = 0;
    for (let thousandths = 1; thousandths < 1000; thousandths++) {
      const inch = (thousandths / 1000).toFixed(3);
      const digits = String(thousandths * 254).padStart(5, '0');
      const limit = `${digits.slice(0, -4)}.${digits.slice(-4)}`;
      if (plainly({ '==': [{ '*': [Number(inch), 25.4] }, Number(limit)] }) !== true) wrong += 1;
      expect(decided({ '==': [`${inch} in`, `${limit} mm`] })).toMatchObject({ truth: true });
    }
    expect(wrong).toBeGreaterThan(100);
  });
});
