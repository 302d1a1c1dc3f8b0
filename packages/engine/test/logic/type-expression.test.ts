import { describe, expect, test } from 'vitest';
import { LARGEST, scopeOf, type Type, typeExpression, writeExpressionFault } from '../../src/logic/index.ts';
import type { Kind } from '../../src/quantity/index.ts';

const amount = (kind: Kind): Type => ({ type: 'amount', kind });
const scope = scopeOf([
  ['depth-shut', amount('length')],
  ['depth-open', amount('length')],
  ['baseline.travel', amount('length')],
  ['rack-shift@3', amount('length')],
  ['pull', amount('force')],
  ['load', amount('torque')],
  ['inlet', amount('temperature')],
  ['rise', amount('temperature-difference')],
  ['efficiency', amount('ratio')],
  ['uses', amount('count')],
  ['speed', amount('rotational-speed')],
  ['duration', amount('time')],
  ['cold', { type: 'truth' }],
  ['variant', { type: 'text', among: ['marram-three', 'marram-four'] }],
  ['serial', { type: 'text' }],
  ['all-shifts', { type: 'list', of: amount('length') }],
]);

const shut = { var: 'depth-shut' };
const open = { var: 'depth-open' };

function typeOf(json: unknown, expected?: Type): string {
  const typed = typeExpression(json, scope, expected);
  if (!typed.ok) return typed.faults.map(({ code, at }) => `${code} ${at}`).join('; ');
  return typed.type.type === 'amount' ? typed.type.kind : typed.type.type;
}

describe('what has a type', () => {
  const table: readonly (readonly [unknown, string])[] = [
    [shut, 'length'],
    [{ var: ['depth-shut'] }, 'length'],
    [{ var: 'baseline.travel' }, 'length'],
    [{ var: 'rack-shift@3' }, 'length'],
    ['0.20 mm', 'length'],
    ['marram-four', 'text'],
    [5, 'count'],
    ['0.5', 'ratio'],
    [true, 'truth'],
    [{ '-': [shut, open] }, 'length'],
    [{ '-': shut }, 'length'],
    [{ '-': ['2 in', open] }, 'length'],
    [{ '+': [shut, open, '1 mm'] }, 'length'],
    [{ '*': [shut, 2] }, 'length'],
    [{ '*': ['0.5', shut] }, 'length'],
    [{ '*': [{ var: 'pull' }, shut] }, 'torque'],
    [{ '*': [{ var: 'speed' }, { var: 'duration' }] }, 'angle'],
    [{ '/': [{ var: 'load' }, shut] }, 'force'],
    [{ '/': [shut, open] }, 'ratio'],
    [{ '/': [shut, '4'] }, 'length'],
    [{ '-': [{ var: 'inlet' }, '20 °C'] }, 'temperature-difference'],
    [{ '-': [{ var: 'inlet' }, '5 K'] }, 'temperature'],
    [{ '+': [{ var: 'inlet' }, '5 K'] }, 'temperature'],
    [{ '+': [{ var: 'rise' }, '5 K'] }, 'temperature-difference'],
    [{ '+': [{ var: 'efficiency' }, '1'] }, 'ratio'],
    [{ min: [shut, open] }, 'length'],
    [{ max: [[shut, '3 mm', open]] }, 'length'],
    [{ min: shut }, 'length'],
    [{ max: [{ var: 'inlet' }, '20 °C'] }, 'temperature'],
    [{ max: ['1', '0.5'] }, 'ratio'],
    [{ difference: ['depth-shut', 'depth-open'] }, 'length'],
    [{ difference: [{ max: [shut, open] }, '1 mm'] }, 'length'],
    [{ change: { from: 'inlet', to: '30 °C' } }, 'temperature-difference'],
    [{ spread: ['depth-shut', 'depth-open'] }, 'length'],
    [{ spread: ['inlet', '20 °C'] }, 'temperature-difference'],
    [{ share: { of: 'depth-shut', in: 'depth-open' } }, 'ratio'],
    [{ lowest: ['depth-shut', 'rack-shift@3'] }, 'length'],
    [{ highest: [['depth-shut', 'depth-open']] }, 'length'],
    [{ mean: ['depth-shut', 'depth-open', '1 mm'] }, 'length'],
    [{ mean: ['inlet', '20 °C'] }, 'temperature'],
    [{ mean: ['uses', '3'] }, 'ratio'],
    [{ if: [{ var: 'cold' }, shut, '1 mm'] }, 'length'],
    [{ if: [{ var: 'cold' }, '0 K', { var: 'rise' }] }, 'temperature-difference'],
    [{ if: [{ var: 'cold' }, 'marram-three', { var: 'variant' }] }, 'text'],
    [{ if: [{ var: 'cold' }, false, { '<': [shut, open] }] }, 'truth'],
    [{ and: [{ var: 'cold' }, { or: [{ '!': { var: 'cold' } }, true] }] }, 'truth'],
    [{ and: { var: 'cold' } }, 'truth'],
    [{ '<': [shut, open] }, 'truth'],
    [{ '<': ['1 mm', shut, '2 mm'] }, 'truth'],
    [{ '>=': [{ share: { of: 'depth-shut', in: 'depth-open' } }, '85 %'] }, 'truth'],
    [{ '>=': [{ var: 'efficiency' }, 1] }, 'truth'],
    [{ '>=': [{ var: 'efficiency' }, { if: [{ var: 'cold' }, '1', '2'] }] }, 'truth'],
    [{ '<': [{ var: 'rise' }, '5 K'] }, 'truth'],
    [{ '<': [{ var: 'inlet' }, '300 K'] }, 'truth'],
    [{ '==': [shut, '1 mm'] }, 'truth'],
    [{ '==': [{ var: 'variant' }, 'marram-four'] }, 'truth'],
    [{ '!=': ['marram-four', { var: 'variant' }] }, 'truth'],
    [{ '==': [{ var: 'serial' }, { var: 'variant' }] }, 'truth'],
    [{ in: [{ var: 'variant' }, ['marram-three', 'marram-four']] }, 'truth'],
  ];
  test.each(table)('%j', (json, type) => {
    expect(typeOf(json)).toBe(type);
  });
});

describe('what has none', () => {
  const table: readonly (readonly [unknown, string])[] = [
    [null, 'not-an-expression '],
    [undefined, 'not-an-expression '],
    [[], 'not-an-expression '],
    [[shut], 'not-an-expression '],
    [{}, 'not-one-key '],
    [{ '<': [shut, open], '>': [shut, open] }, 'not-one-key '],
    [{ '=<': [shut, open] }, 'unknown-operator '],
    [{ '===': [shut, open] }, 'refused-operator '],
    [{ '?:': [true, shut, open] }, 'refused-operator '],
    [{ '%': [shut, open] }, 'refused-operator '],
    [{ cat: ['a', 'b'] }, 'refused-operator '],
    [{ substr: ['abc', 1] }, 'refused-operator '],
    [{ var: 'depth-shot' }, 'undeclared-name /var'],
    [{ var: ['depth-shot'] }, 'undeclared-name /var'],
    [{ var: 'all-shifts' }, 'wrong-type /var'],
    [{ max: [{ var: 'all-shifts' }] }, 'wrong-type /max/0/var'],
    [{ '<': [shut, { var: 'load' }] }, 'wrong-kind /</1'],
    [{ '<': [shut, '5 N·m'] }, 'wrong-kind /</1'],
    [{ '<': ['5 N·m', shut] }, 'wrong-kind /</0'],
    [{ '<': [shut, 5] }, 'wrong-kind /</1'],
    [{ '<': [shut, '5'] }, 'wrong-kind /</1'],
    [{ '<': [shut, 'five'] }, 'not-a-quantity /</1'],
    [{ '<': [shut, 0.5] }, 'not-a-whole-number /</1'],
    [{ '<': [shut, Number.NaN] }, 'not-a-whole-number /</1'],
    [{ '<': [shut, 2 ** 53] }, 'not-a-whole-number /</1'],
    [{ '<': [{ var: 'uses' }, '2.5'] }, 'wrong-kind /</1'],
    [{ '<': [shut] }, 'wrong-count /<'],
    [{ '<': [shut, [open]] }, 'not-an-expression /</1'],
    [{ '<': [shut, { var: 'cold' }] }, 'wrong-type /</1'],
    [{ '<': [{ var: 'serial' }, { var: 'variant' }] }, 'wrong-type /</0'],
    [{ '<': [{ var: 'rise' }, '5 °C'] }, 'wrong-kind /</1'],
    [{ '==': [{ var: 'cold' }, true] }, 'wrong-type /=='],
    [{ '==': [{ var: 'variant' }, shut] }, 'wrong-type /==/1'],
    [{ '==': [shut, { var: 'variant' }] }, 'wrong-type /==/1'],
    [{ '==': [{ var: 'variant' }, 'marram-fuor'] }, 'not-one-of /==/1'],
    [{ '!=': ['marram-fuor', { var: 'variant' }] }, 'not-one-of /!=/0'],
    [{ in: [{ var: 'variant' }, ['marram-four', 'marram-ten']] }, 'not-one-of /in/1/1'],
    [{ in: [{ var: 'variant' }, []] }, 'wrong-type /in/1'],
    [{ in: [{ var: 'serial' }, [1]] }, 'wrong-type /in/1/0'],
    [{ in: [shut, ['1 mm']] }, 'wrong-type /in/0'],
    [{ and: [] }, 'wrong-count /and'],
    [{ min: [] }, 'wrong-count /min'],
    [{ max: [[]] }, 'wrong-count /max/0'],
    [{ max: [[shut], [open]] }, 'not-an-expression /max/0; not-an-expression /max/1'],
    [{ max: [[[shut]]] }, 'not-an-expression /max/0/0'],
    [{ min: [shut, { var: 'load' }] }, 'wrong-kind /min/1'],
    [{ '+': [shut] }, 'wrong-count /+'],
    [{ '+': [shut, { var: 'load' }] }, 'wrong-kind /+'],
    [{ '+': [{ var: 'inlet' }, { var: 'inlet' }] }, 'wrong-kind /+'],
    [{ '-': { var: 'inlet' } }, 'wrong-kind /-'],
    [{ '*': [{ var: 'inlet' }, 2] }, 'wrong-kind /*'],
    [{ '*': [shut, open] }, 'wrong-kind /*'],
    [{ '/': [shut, 0] }, 'divides-by-zero /~1/1'],
    [{ '/': [shut, '0.00 mm'] }, 'divides-by-zero /~1/1'],
    [{ share: { of: 'depth-shut', in: 'load' } }, 'wrong-kind /share'],
    [{ share: { of: 'depth-shut' } }, 'wrong-shape /share'],
    [{ spread: { of: ['depth-shut', 'depth-open'] } }, 'wrong-shape /spread'],
    [{ share: { of: 'depth-shut', in: 'depth-open', or: 'load' } }, 'wrong-shape /share'],
    [{ share: ['depth-shut', 'depth-open'] }, 'wrong-shape /share'],
    [{ share: { of: 'inlet', in: 'inlet' } }, 'wrong-kind /share'],
    [{ change: { form: 'depth-shut', to: 'depth-open' } }, 'wrong-shape /change'],
    [{ difference: ['depth-shut'] }, 'wrong-count /difference'],
    [{ difference: ['depth-shot', 'depth-open'] }, 'undeclared-name /difference/0'],
    [{ lowest: ['depth-shut', '12,5 mm'] }, 'not-a-quantity /lowest/1'],
    [{ if: [{ var: 'cold' }, shut, { var: 'load' }] }, 'wrong-kind /if/2'],
    [{ if: [{ var: 'cold' }, shut, 'marram-four'] }, 'not-a-quantity /if/2'],
    [{ if: [{ var: 'cold' }, shut, { var: 'cold' }] }, 'wrong-type /if/2'],
    [{ if: [shut, shut, open] }, 'wrong-type /if/0'],
    [{ '!': [] }, 'wrong-count /!'],
  ];
  test.each(table)('%j: %s', (json, faults) => {
    expect(typeOf(json)).toBe(faults);
  });

  test('every fault is reported, and none twice', () => {
    const json = {
      and: [
        { '<': [{ var: 'depth-shot' }, '12,5 mm'] },
        { '==': [{ var: 'variant' }, 'marram-fuor'] },
        'cold',
        { '!': [{ '>': [{ '+': [{ var: 'nothing' }, { var: 'load' }] }, '1 mm'] }] },
      ],
    };
    expect(typeOf(json).split('; ')).toEqual([
      'undeclared-name /and/0/</0/var',
      'not-a-quantity /and/0/</1',
      'not-one-of /and/1/==/1',
      'wrong-type /and/2',
      'undeclared-name /and/3/!/0/>/0/+/0/var',
    ]);
  });

  test('in a bare text a name is a name only inside a named form', () => {
    expect(typeOf({ max: ['depth-shut', 'depth-open'] })).toBe('not-a-quantity /max/0');
    expect(typeOf({ highest: ['depth-shut', 'depth-open'] })).toBe('length');
    expect(typeOf({ highest: [{ '-': ['depth-shut', '1 mm'] }] })).toMatch('not-a-quantity /highest/0/-/0');
  });

  test('an expected type', () => {
    expect(typeOf(shut, { type: 'truth' })).toBe('wrong-type ');
    expect(typeOf('5 N·m', amount('length'))).toBe('wrong-kind ');
    expect(typeOf('5 K', amount('temperature'))).toBe('temperature');
    expect(typeOf('5', { type: 'text' })).toBe('text');
    expect(typeOf('marram-ten', { type: 'text', among: ['marram-three'] })).toBe('not-one-of ');
    expect(typeOf({ var: 'variant' }, { type: 'text', among: ['marram-three'] })).toBe('text');
  });

  test('a missing value cannot hide a zero divisor', () => {
    expect(typeOf({ '/': [shut, { '-': [open, open] }] })).toBe('ratio');
  });
});

describe('suggestions', () => {
  const table: readonly (readonly [unknown, string])[] = [
    [
      { var: 'depth-shot' },
      'found the name "depth-shot", expected a declared name; did you mean "depth-shut"?',
    ],
    [{ '=<': [shut, open] }, 'found the operator "=<", expected an operator; did you mean <=?'],
    [
      { diference: ['depth-shut', 'depth-open'] },
      'found the operator "diference", expected an operator; did you mean difference?',
    ],
    [{ AND: [true] }, 'found the operator "AND", expected an operator; did you mean and?'],
    [{ '===': [shut, open] }, 'found the operator "===", expected == (types are already strict)'],
    [
      { '==': [{ var: 'variant' }, 'marram-fuor'] },
      'found "marram-fuor", expected one of "marram-three", "marram-four"; did you mean marram-four?',
    ],
    [
      { '<': [open, 'depth-shut'] },
      'found the text "depth-shut", expected a length with its unit; did you mean {"var":"depth-shut"}?',
    ],
    [
      { '<': [open, '12,5 mm'] },
      'found the text "12,5 mm", expected a length with its unit; did you mean 12.5 mm?',
    ],
    [{ difference: ['depth-shut'] }, 'found in difference 1 operand, expected 2; write difference: [a, b]'],
    [
      { change: ['depth-shut', 'depth-open'] },
      'found in change a list, expected the keys "to" and "from"; write change: { from: a, to: b }',
    ],
    [{ mean: { of: 'depth-shut' } }, 'found in mean the keys "of", expected a list; write mean: [a, b, c]'],
    [{ var: 'quite-another-thing' }, 'found the name "quite-another-thing", expected a declared name'],
  ];
  test.each(table)('%j', (json, text) => {
    const typed = typeExpression(json, scope);
    expect(typed.ok ? [] : typed.faults.map(writeExpressionFault)).toEqual([text]);
  });
});

describe('bounds', () => {
  const nested = (levels: number): unknown => {
    let json: unknown = { var: 'cold' };
    for (let i = 1; i < levels; i++) json = { '!': [json] };
    return json;
  };
  test('32 operators deep, not 33', () => {
    expect(typeOf(nested(32))).toBe('truth');
    expect(typeOf(nested(33))).toMatch(/^too-deep (\/!\/0){32}$/);
  });
  test('2,000 values, not 2,001', () => {
    const wide = (values: number) => ({ max: Array.from({ length: values - 2 }, () => '1 mm') });
    expect(typeOf(wide(LARGEST))).toBe('length');
    expect(typeOf(wide(LARGEST + 1))).toBe('too-large ');
    expect(typeOf({ max: new Array(1e6).fill('1 mm') })).toBe('too-large ');
  });
});
