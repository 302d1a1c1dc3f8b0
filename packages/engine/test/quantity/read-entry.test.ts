import { describe, expect, it } from 'vitest';
import {
  baseUnit,
  describeQuantityFault,
  type Kind,
  readEntry,
  unitsOf,
  writeQuantity,
} from '../../src/quantity/index.ts';

const enter = (text: string, kind: Kind = 'length') => {
  const read = readEntry(text, { kind, unit: baseUnit(kind) });
  return 'quantity' in read ? writeQuantity(read.quantity) : read.fault;
};

describe('an entry that is understood', () => {
  it.each([
    ['0.031', '0.031 mm'],
    ['0,031', '0.031 mm'],
    ['12,5', '12.5 mm'],
    ['12,50', '12.50 mm'],
    ['1234,567', '1234.567 mm'],
    ['1,2345', '1.2345 mm'],
    ['1.234', '1.234 mm'],
    ['1234', '1234 mm'],
    ['.031', '0.031 mm'],
    [',5', '0.5 mm'],
    ['+3', '3 mm'],
    ['-0.2', '-0.2 mm'],
    ['\u22120.2', '-0.2 mm'],
    ['\u20130.2', '-0.2 mm'],
    ['\u20100.2', '-0.2 mm'],
    ['\u20110.2', '-0.2 mm'],
    ['\uFF0D0.2', '-0.2 mm'],
    ['\uFE630.2', '-0.2 mm'],
    ['\uFF11\uFF12\uFF0E\uFF15', '12.5 mm'],
    [' 0.5\u00A0mm ', '0.5 mm'],
    ['0.5\u2009mm', '0.5 mm'],
    ['0.5\u202Fmm', '0.5 mm'],
    ['0.5mm', '0.5 mm'],
    ['0.756 in', '0.756 in'],
    ['0.756"', '0.756 in'],
    ['5 \u03BCm', '5 µm'],
    ['\uFEFF5\u200B', '5 mm'],
    ['0', '0 mm'],
  ])('"%s" is %s', (text, written) => {
    expect(enter(text)).toBe(written);
  });

  it('keeps its own digits and unit', () => {
    const read = readEntry('35,0 lbf ft', { kind: 'torque', unit: baseUnit('torque') });
    expect(read).toMatchObject({ quantity: { digits: '35.0', decimals: 1, unit: { symbol: 'lbf·ft' } } });
    expect(enter('82', 'temperature')).toBe('82 °C');
    expect(enter('95 %', 'ratio')).toBe('95 %');
    const percent = unitsOf('ratio').find((unit) => unit.symbol === '%');
    if (percent === undefined) throw new Error('no percent');
    const share = readEntry('95', { kind: 'ratio', unit: percent });
    expect('quantity' in share && share.quantity.value.toFraction()).toBe('19/20');
  });
});

describe('an entry in doubt names what it could be', () => {
  it.each<[string, readonly string[]]>([
    ['1,234', ['1.234', '1234']],
    ['-1,234', ['-1.234', '-1234']],
    ['\u2212999,000', ['-999.000', '-999000']],
    ['12,345 in', ['12.345', '12345']],
    ['1.234,5', ['1234.5']],
    ['1,234.5', ['1234.5']],
    ['1,234,567', ['1234567']],
    ['1.234.567', ['1234567']],
    ['1 234', ['1234']],
    ['1\u202F234', ['1234']],
    ['1\u00A0234,5', ['1234.5']],
    ["1'234", ['1234']],
    ['1’234.50', ['1234.50']],
    ['12 5', []],
    ['1,2,3', []],
    ['1.2.3', []],
    ['0,123,4', []],
  ])('"%s": %s', (text, readings) => {
    expect(enter(text)).toMatchObject({ code: 'doubtful-number', readings });
  });

  it('in words', () => {
    const read = readEntry('1,234', { kind: 'length', unit: baseUnit('length') });
    expect('fault' in read && describeQuantityFault(read.fault)).toBe(
      '"1,234" can be read as "1.234" or "1234": write the one that is meant.',
    );
  });
});

describe('an entry that is refused', () => {
  it.each<[string, object]>([
    ['', { code: 'empty' }],
    ['   ', { code: 'empty' }],
    ['1/2', { code: 'fraction', instead: '0.5' }],
    ['1/2 in', { code: 'fraction', instead: '0.5 in' }],
    ['1 1/2 in', { code: 'fraction', instead: '1.5 in' }],
    ['5/64 in', { code: 'fraction', instead: '0.078125 in' }],
    ['½', { code: 'fraction', instead: '0.5' }],
    ['1½ in', { code: 'fraction', instead: '1.5 in' }],
    ['1/3', { code: 'fraction' }],
    ['1/0', { code: 'fraction' }],
    ['1e3', { code: 'exponent' }],
    ['1E-3 mm', { code: 'exponent' }],
    ['1×10^3 mm', { code: 'exponent' }],
    ['1 x 10 mm', { code: 'exponent' }],
    ['0x1F', { code: 'not-a-number' }],
    ['0b101', { code: 'not-a-number' }],
    ['0o17', { code: 'not-a-number' }],
    ['NaN', { code: 'not-a-number' }],
    ['Infinity', { code: 'not-a-number' }],
    ['-Infinity', { code: 'not-a-number' }],
    ['∞', { code: 'not-a-number' }],
    ['good', { code: 'not-a-number' }],
    ['> 400', { code: 'not-a-number' }],
    ['±0.1', { code: 'not-a-number' }],
    ['--1', { code: 'not-a-number' }],
    ['\u20145', { code: 'not-a-number' }],
    ['٣', { code: 'not-a-number' }],
    ['null', { code: 'not-a-number' }],
    ['true', { code: 'not-a-number' }],
    ['[3]', { code: 'not-a-number' }],
    ['5.', { code: 'bare-point' }],
    ['5,', { code: 'bare-point' }],
    ['00,5', { code: 'leading-zeros', instead: '0.5' }],
    ['5 - 6', { code: 'unknown-unit' }],
    ['5 bar', { code: 'wrong-kind', found: 'pressure', expected: 'length' }],
    ['82 °C', { code: 'wrong-kind', found: 'temperature', expected: 'length' }],
    ['0'.repeat(65), { code: 'too-long', limit: 64 }],
  ])('"%s": %o', (text, fault) => {
    expect(enter(text)).toMatchObject(fault);
  });

  it('has a sentence for each, which names what was found', () => {
    for (const text of ['1/3', '1e3', 'good', '5.', '00,5', '5 qqqqq', '5 bar', '12 5', '1 rad']) {
      const read = readEntry(text, { kind: 'angle', unit: baseUnit('angle') });
      if ('quantity' in read) throw new Error(text);
      const sentence = describeQuantityFault(read.fault);
      expect(sentence).toMatch(/^".+\.$|\?$/);
      expect(sentence).not.toMatch(/undefined|\ba a|\ba an/);
    }
  });
});
