import { describe, expect, it } from 'vitest';
import {
  addKinds,
  baseUnit,
  divideKinds,
  isKind,
  type Kind,
  multiplyKinds,
  plainKinds,
  Rational,
  subtractKinds,
} from '../../src/quantity/index.ts';

describe('sums and differences', () => {
  it.each<[Kind, Kind, Kind | undefined, Kind | undefined]>([
    ['length', 'length', 'length', 'length'],
    ['length', 'torque', undefined, undefined],
    ['temperature', 'temperature', undefined, 'temperature-difference'],
    ['temperature', 'temperature-difference', 'temperature', 'temperature'],
    ['temperature-difference', 'temperature', 'temperature', undefined],
    ['volume', 'delivery', undefined, undefined],
    ['ratio', 'count', undefined, undefined],
    ['pressure per length', 'pressure per length', 'pressure per length', 'pressure per length'],
  ])('%s ± %s: sum %s, difference %s', (a, b, sum, difference) => {
    expect(addKinds(a, b)).toBe(sum);
    expect(subtractKinds(a, b)).toBe(difference);
  });
});

describe('products and quotients', () => {
  it.each<[Kind, Kind, Kind | undefined]>([
    ['force', 'length', 'torque'],
    ['length', 'force', 'torque'],
    ['pressure', 'volume', undefined],
    ['torque', 'angle', undefined],
    ['length', 'length', undefined],
    ['flow', 'time', 'volume'],
    ['delivery', 'strokes', 'volume'],
    ['rotational-speed', 'time', 'angle'],
    ['current', 'resistance', 'voltage'],
    ['temperature', 'ratio', undefined],
    ['temperature', 'count', undefined],
    ['ratio', 'temperature-difference', 'temperature-difference'],
    ['count', 'torque', 'torque'],
    ['count', 'ratio', 'ratio'],
    ['count', 'count', 'count'],
    ['pressure per length', 'length', 'pressure'],
    ['length', 'pressure per length', 'pressure'],
    ['pressure per length', 'torque', undefined],
  ])('%s × %s is %s', (a, b, product) => {
    expect(multiplyKinds(a, b)).toBe(product);
  });

  it.each<[Kind, Kind, Kind | undefined]>([
    ['torque', 'length', 'force'],
    ['torque', 'force', 'length'],
    ['volume', 'strokes', 'delivery'],
    ['volume', 'time', 'flow'],
    ['volume', 'count', 'volume'],
    ['angle', 'time', 'rotational-speed'],
    ['voltage', 'resistance', 'current'],
    ['length', 'length', 'ratio'],
    ['temperature', 'temperature', undefined],
    ['temperature', 'count', undefined],
    ['pressure', 'temperature', undefined],
    ['pressure', 'length', 'pressure per length'],
    ['pressure', 'pressure per length', 'length'],
    ['pressure per length', 'time', undefined],
    ['count', 'count', 'ratio'],
  ])('%s ÷ %s is %s', (a, b, quotient) => {
    expect(divideKinds(a, b)).toBe(quotient);
  });

  it('take back what the other did', () => {
    for (const a of plainKinds)
      for (const b of plainKinds) {
        const product = multiplyKinds(a, b);
        expect(product).toBe(multiplyKinds(b, a));
        if (product !== undefined && a !== 'count' && a !== 'ratio' && b !== 'count' && b !== 'ratio') {
          expect(divideKinds(product, a)).toBe(b);
          expect(divideKinds(product, b)).toBe(a);
        }
      }
  });
});

it('knows its own names', () => {
  expect(isKind('length')).toBe(true);
  expect(isKind('pressure per length')).toBe(true);
  for (const text of [
    '',
    'power',
    'length per',
    'length per power',
    'a per b per c',
    'toString',
    'volume per time',
    'length per count',
    'pressure per temperature',
    'length per length',
  ]) {
    expect(isKind(text)).toBe(false);
  }
  for (const a of plainKinds)
    for (const b of plainKinds) {
      const kind = divideKinds(a, b);
      if (kind === undefined) continue;
      expect(isKind(kind)).toBe(true);
      expect(baseUnit(kind).kind).toBe(kind);
      expect(baseUnit(kind).factor.equals(Rational.one)).toBe(true);
    }
});
