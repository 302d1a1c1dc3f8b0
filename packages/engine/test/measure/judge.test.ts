import { describe, expect, test } from 'vitest';
import { type Judgeable, judge, limitsOf, type WrittenLimits } from '../../src/measure/index.ts';
import { type Kind, parseQuantity, type Quantity, Rational } from '../../src/quantity/index.ts';

function quantity(text: string, kind?: Kind): Quantity {
  const read = parseQuantity(text, kind);
  if (!('quantity' in read)) throw new Error(text);
  return read.quantity;
}

function tolerance(written: WrittenLimits): Judgeable {
  const limits = limitsOf(written);
  if ('fault' in limits) throw new Error(limits.fault);
  return { limits, rule: { rule: 'simple', warnAbove: Rational.of(1, 10) }, capability: Rational.of(4) };
}

const between = (low: string, high: string): WrittenLimits => ({
  form: 'between',
  low: quantity(low),
  high: quantity(high),
});
const deviation = (nominal: string, plus: string, minus = plus): WrittenLimits => ({
  form: 'deviation',
  nominal: quantity(nominal),
  plus: quantity(plus),
  minus: quantity(minus),
});
const atLeast = (low: string): WrittenLimits => ({ form: 'at-least', low: quantity(low) });
const atMost = (high: string): WrittenLimits => ({ form: 'at-most', high: quantity(high) });

type Row = readonly [limits: WrittenLimits, value: string, word: string, distance: string];

const rack = between('21.00 mm', '21.75 mm');
const drift = deviation('0 mm', '0.0127 mm');

describe('simple acceptance (JCGM 106:2012, 8.2): limits are inclusive, nothing is rounded', () => {
  test.each<Row>([
    // common practice, no published source: rack travel 21.00 to 21.75 mm
    [rack, '21.00 mm', 'conforming', '0 mm'],
    [rack, '20.99 mm', 'low', '0.01 mm'],
    [rack, '20.999999 mm', 'low', '0.000001 mm'],
    [rack, '21.000001 mm', 'conforming', '0.000001 mm'],
    [rack, '21.75 mm', 'conforming', '0 mm'],
    [rack, '21.750001 mm', 'high', '0.000001 mm'],
    [rack, '21.749999 mm', 'conforming', '0.000001 mm'],
    [rack, '21.375 mm', 'conforming', '0.375 mm'],
    // 0.8563 in is 21.75002 mm (computed: 0.8563 × 25.4)
    [rack, '0.8563 in', 'high', '0.00002 mm'],
    [rack, '0.8562 in', 'conforming', '0.00252 mm'],
    // common practice, no published source: drift of 0.0127 mm, exactly 0.0005 in
    [drift, '0.0005 in', 'conforming', '0 mm'],
    [drift, '-0.0127 mm', 'conforming', '0 mm'],
    [drift, '0.01271 mm', 'high', '0.00001 mm'],
    [drift, '-0.01271 mm', 'low', '0.00001 mm'],
    [deviation('50 N·m', '2 N·m', '4 N·m'), '46 N·m', 'conforming', '0 N·m'],
    [deviation('50 N·m', '2 N·m', '4 N·m'), '45.9 N·m', 'low', '0.1 N·m'],
    [deviation('50 N·m', '2 N·m', '4 N·m'), '52.1 N·m', 'high', '0.1 N·m'],
    // 0.1 + 0.2 is 0.3 here
    [deviation('0.1 mm', '0.2 mm'), '0.3 mm', 'conforming', '0 mm'],
    [between('1 mm', '1 mm'), '1 mm', 'conforming', '0 mm'],
    [between('1 mm', '1 mm'), '1.0000001 mm', 'high', '0.0000001 mm'],
    [atLeast('1.5 bar'), '1.5 bar', 'conforming', '0 bar'],
    [atLeast('1.5 bar'), '1.4999 bar', 'low', '0.0001 bar'],
    [atLeast('1.5 bar'), '900 bar', 'conforming', '898.5 bar'],
    [atMost('1.5 bar'), '1.5 bar', 'conforming', '0 bar'],
    [atMost('1.5 bar'), '1.5001 bar', 'high', '0.0001 bar'],
    [atMost('1.5 bar'), '-3 bar', 'conforming', '4.5 bar'],
  ])('%j holds %s: %s by %s', (written, value, word, distance) => {
    const verdict = judge(tolerance(written), { amount: quantity(value) });
    const far =
      verdict.verdict === 'conforming'
        ? verdict.margin
        : verdict.verdict === 'nonconforming'
          ? verdict.excess
          : undefined;
    expect(verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict).toBe(word);
    expect(far?.kind).toBe(quantity(distance).kind);
    expect(far?.value.toFraction()).toBe(quantity(distance).value.toFraction());
  });

  test('a deviation of a temperature, its margin and its excess are differences', () => {
    const written: WrittenLimits = {
      form: 'deviation',
      nominal: quantity('80 °C'),
      plus: quantity('5 K', 'temperature-difference'),
      minus: quantity('10 K', 'temperature-difference'),
    };
    const at = (text: string) => judge(tolerance(written), { amount: quantity(text) });
    expect(at('85 °C')).toMatchObject({ verdict: 'conforming', margin: { kind: 'temperature-difference' } });
    // 185 °F is exactly 85 °C (computed), and one last digit more is not.
    expect(at('185 °F')).toMatchObject({ verdict: 'conforming' });
    const beyond = at('185.1 °F');
    expect(beyond).toMatchObject({ verdict: 'nonconforming', side: 'high' });
    if (beyond.verdict !== 'nonconforming') throw new Error('see above');
    expect(beyond.excess.kind).toBe('temperature-difference');
    // 0.1 °F is 1/18 K (computed)
    expect(beyond.excess.value.toFraction()).toBe('1/18');
    expect(at('70 °C')).toMatchObject({ verdict: 'conforming' });
    expect(at('69.99 °C')).toMatchObject({ verdict: 'nonconforming', side: 'low' });
  });
});

test.each([rack, drift, atLeast('0 mm'), atMost('1000 m')])(
  'what is not measured is never conforming',
  (written) => {
    const verdict = judge(tolerance(written), { missing: ['rack-travel'] });
    expect(verdict).toEqual({ verdict: 'unmeasured', missing: ['rack-travel'] });
  },
);

describe('limits that cannot be met are a fault', () => {
  test.each<readonly [WrittenLimits, string]>([
    // common practice, no published source: a printed pair met in practice
    [between('0.38 mm', '0.25 mm'), 'reversed'],
    [between('1 in', '25.39 mm'), 'reversed'],
    [deviation('5 mm', '-1 mm', '-1 mm'), 'reversed'],
    [deviation('5 mm', '1 N·m'), 'no-sum'],
  ])('%j: %s', (written, fault) => {
    expect(limitsOf(written)).toEqual({ fault });
  });

  test('equal limits are limits', () => {
    expect(limitsOf(between('1 in', '25.4 mm'))).not.toHaveProperty('fault');
  });
});
