import {
  type Amount,
  chooseFromStock,
  type Limits,
  MOST_TOTALS,
  parseQuantity,
  Rational,
  type StockQuestion,
  stacksOf,
} from '@ferrule/engine';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';

const amount = (text: string): Amount => {
  const read = parseQuantity(text);
  if ('fault' in read) throw new Error(`${text}: ${read.fault.code}`);
  return read.quantity;
};
const mm = (text: string): Rational => amount(`${text} mm`).value;
const between = (low: string, high: string): Limits => ({ low: amount(low), high: amount(high) });

/** Nozzle opening pressure by shims; every value is invented. */
const ask = (more: Partial<StockQuestion> & { sizes?: readonly string[]; most?: number }): StockQuestion => {
  const { sizes = ['1.00', '1.05', '1.10', '1.15', '1.20', '1.25'], most = 1, ...rest } = more;
  return {
    value: amount('205 bar'),
    fitted: amount('1.00 mm'),
    sensitivity: amount('100 bar/mm'),
    limits: between('210 bar', '218 bar'),
    stacks: stacksOf(sizes.map(mm), most) ?? [],
    mayStay: true,
    ...rest,
  };
};

/** What came out, as words: sizes, prediction in bar, and by how much it misses where none does. */
function said(question: StockQuestion, unit = 'bar'): string {
  const answer = chooseFromStock(question);
  const of = answer.choice === 'chosen' ? answer.best : answer.nearest;
  if (of === undefined) return 'nothing';
  const factor = amount(`1 ${unit}`).value;
  const sizes = of.sizes.map((one) => one.toDecimal(2)).join(' + ') || 'stays';
  const missed = answer.choice === 'chosen' ? '' : `, misses by ${answer.excess?.over(factor).toDecimal(2)}`;
  return `${sizes}: ${of.predicted.value.over(factor).toDecimal(2)}${missed}`;
}

describe('chooseFromStock', () => {
  // Every line by hand: v' = v + c (s − s0).
  test.each<[string, Parameters<typeof ask>[0], string]>([
    ['the middle of two limits is aimed at', {}, '1.10: 215.00'],
    [
      'nominal, where it is stated',
      { limits: { ...between('208 bar', '218 bar'), nominal: amount('210 bar') } },
      '1.05: 210.00',
    ],
    [
      'more lowers it',
      { value: amount('224 bar'), fitted: amount('1.20 mm'), sensitivity: amount('-100 bar/mm') },
      '1.25: 219.00, misses by 1.00',
    ],
    [
      'a thinner one where more lowers it',
      { value: amount('204 bar'), fitted: amount('1.20 mm'), sensitivity: amount('-100 bar/mm') },
      '1.10: 214.00',
    ],
    ['what is fitted stays when nothing comes nearer', { value: amount('214 bar') }, 'stays: 214.00'],
    [
      'a size equal to what is fitted changes nothing',
      { value: amount('213 bar'), fitted: amount('1.05 mm') },
      'stays: 213.00',
    ],
    ['none reaches', { value: amount('150 bar') }, '1.25: 175.00, misses by 35.00'],
    [
      'of equally near ones the larger',
      {
        value: amount('204 bar'),
        fitted: amount('1.00 mm'),
        sizes: ['1.05', '1.15'],
        limits: between('204 bar', '224 bar'),
        mayStay: false,
      },
      '1.15: 219.00',
    ],
    ['a limit conforms', { sizes: ['1.05'], value: amount('205 bar') }, '1.05: 210.00'],
    [
      'of those outside the one that misses by least, not the nearest to nominal',
      {
        value: amount('200 bar'),
        sizes: ['1.05', '1.20'],
        limits: { ...between('208 bar', '218 bar'), nominal: amount('210 bar') },
        mayStay: false,
      },
      '1.20: 220.00, misses by 2.00',
    ],
    [
      'just outside does not',
      { sizes: ['1.05'], value: amount('204.999 bar') },
      '1.05: 210.00, misses by 0.00',
    ],
    [
      'a stack where a single one does not reach',
      { value: amount('150 bar'), fitted: amount('1.00 mm'), sizes: ['0.50', '0.64', '1.00'], most: 2 },
      '1.00 + 0.64: 214.00',
    ],
    [
      'fewer pieces for the same total',
      {
        value: amount('114 bar'),
        fitted: amount('1.00 mm'),
        sizes: ['0.50', '1.00', '1.50', '2.00'],
        most: 4,
      },
      '2.00: 214.00',
    ],
    [
      'the larger single ones for as many',
      {
        value: amount('64 bar'),
        fitted: amount('1.00 mm'),
        sizes: ['0.50', '1.00', '1.50', '2.00'],
        most: 2,
      },
      '2.00 + 0.50: 214.00',
    ],
    ['only what is fitted, when the drawer is empty', { sizes: [] }, 'stays: 205.00, misses by 5.00'],
    ['nothing at all', { sizes: [], mayStay: false }, 'nothing'],
    ['one lower limit: the nearest to it inside', { limits: { low: amount('212 bar') } }, '1.10: 215.00'],
    [
      'one upper limit',
      { value: amount('221 bar'), fitted: amount('1.20 mm'), limits: { high: amount('212 bar') } },
      '1.10: 211.00',
    ],
    // c·u = 100 bar/mm × 0.02 mm = 2 bar, so twice that is 4 bar: 215 bar is 3 bar inside 212 bar, 220 bar is clear.
    [
      'one limit, clear of it by twice the standard uncertainty',
      {
        limits: { low: amount('212 bar') },
        valueVariance: Rational.zero,
        sizeVariance: Rational.of(4, 10_000),
      },
      '1.15: 220.00',
    ],
    // 4 × 100² × 0.06² bar² = (12 bar)²; the thickest gives 230 bar, 18 bar inside 212 bar; of 224 bar it is 6 bar.
    [
      'one limit, none clear: the farthest inside',
      {
        limits: { low: amount('224 bar') },
        valueVariance: Rational.zero,
        sizeVariance: Rational.of(36, 10_000),
      },
      '1.25: 230.00',
    ],
  ])('%s', (_, question, expected) => {
    expect(said(ask(question))).toBe(expected);
  });

  test('a kind by itself: a prestroke in millimetres changes by as much as the shim', () => {
    const question = ask({
      value: amount('3.32 mm'),
      sensitivity: amount('1'),
      limits: { ...between('3.35 mm', '3.45 mm'), nominal: amount('3.40 mm') },
    });
    expect(said(question, 'mm')).toBe('1.10: 3.42');
  });

  test('the variance is that of the value and, through the sensitivity, of what comes in and goes out', () => {
    const question = ask({
      value: amount('100 bar'),
      sizes: ['0.50', '0.64', '1.50'],
      most: 2,
      valueVariance: Rational.of(9),
      sizeVariance: Rational.of(1, 3),
      fittedVariance: Rational.of(1, 7),
    });
    const chosen = chooseFromStock(question);
    if (chosen.choice !== 'chosen') throw new Error('one does');
    expect(chosen.best.sizes.length).toBe(2);
    // 9 + 100² (1/3 + 1/3 + 1/7), in the base units of pressure (bar here: see units.ts) and length.
    const slope = amount('100 bar/mm').value;
    const expected = Rational.of(9).plus(slope.times(slope).times(Rational.of(17, 21)));
    expect(chosen.best.variance?.toFraction()).toBe(expected.toFraction());
    const stays = chooseFromStock({ ...question, value: amount('214 bar') });
    expect(stays.choice === 'chosen' && stays.best.variance?.toFraction()).toBe('9');
  });

  test('an uncertainty that is not known is not given', () => {
    const chosen = chooseFromStock(ask({ sizeVariance: Rational.of(1, 3) }));
    expect(chosen.choice === 'chosen' && 'variance' in chosen.best).toBe(false);
  });
});

describe('stacksOf', () => {
  test('totals are ascending and within what is allowed', () => {
    const stacks = stacksOf(['0.1', '0.2', '0.5'].map(mm), 3, { least: mm('0.5'), greatest: mm('0.9') });
    expect(
      stacks?.map((one) => `${one.total.toDecimal(1)} = ${one.sizes.map((s) => s.toDecimal(1)).join('+')}`),
    ).toEqual(['0.5 = 0.5', '0.6 = 0.5+0.1', '0.7 = 0.5+0.2', '0.8 = 0.5+0.2+0.1', '0.9 = 0.5+0.2+0.2']);
  });

  test('two hundred sizes of a regular drawer, four in a stack', () => {
    const sizes = Array.from({ length: 200 }, (_, index) => Rational.of(100 + index, 100));
    expect(stacksOf(sizes, 4)?.length).toBe(200 + 399 - 99 + 598 - 299 + 797 - 499);
  });

  test('more different totals than a drawer needs are refused', () => {
    const irregular = Array.from({ length: 120 }, (_, index) =>
      Rational.of(1000 + index * index * index, 1000),
    );
    expect(stacksOf(irregular, 2)).toBeUndefined();
    expect(stacksOf(irregular.slice(0, 90), 2)?.length).toBeLessThanOrEqual(MOST_TOTALS);
  });
});

/** Every stack there is, tried one by one, with the rule written out anew. */
function bruteForce(question: StockQuestion, sizes: readonly Rational[], most: number): string {
  const number = (one: Rational) => one;
  const all: (readonly Rational[])[] = question.mayStay ? [[]] : [];
  const grow = (pieces: readonly Rational[], from: number): void => {
    if (pieces.length > 0) all.push(pieces);
    if (pieces.length === most) return;
    for (let at = from; at >= 0; at--) grow([...pieces, sizes[at] ?? Rational.zero], at);
  };
  grow([], sizes.length - 1);
  const { low, high, nominal } = question.limits;
  const rated = all.map((pieces) => {
    const total = pieces.length === 0 ? question.fitted.value : pieces.reduce((sum, one) => sum.plus(one));
    const value = question.value.value.plus(
      question.sensitivity.value.times(total.minus(question.fitted.value)),
    );
    const outside = [
      low === undefined ? Rational.zero : low.value.minus(value),
      high === undefined ? Rational.zero : value.minus(high.value),
    ].reduce((a, b) => (a.compare(b) > 0 ? a : b), Rational.zero);
    const aim =
      nominal?.value ??
      (low !== undefined && high !== undefined
        ? low.value.plus(high.value).times(Rational.of(1, 2))
        : ((low ?? high)?.value ?? Rational.zero));
    return { pieces, value, outside, distance: value.minus(aim).abs() };
  });
  const order = (a: (typeof rated)[number], b: (typeof rated)[number]): number => {
    const byMiss = number(a.outside).compare(b.outside);
    const byDistance = a.distance.compare(b.distance);
    if (byMiss !== 0) return byMiss;
    if (byDistance !== 0) return byDistance;
    if (a.pieces.length !== b.pieces.length) return a.pieces.length - b.pieces.length;
    for (const [place, one] of a.pieces.entries()) {
      const larger = b.pieces[place]?.compare(one) ?? 0;
      if (larger !== 0) return larger;
    }
    return 0;
  };
  const [best] = rated.sort(order);
  if (best === undefined) return 'nothing';
  return `${best.pieces.map((one) => one.toFraction()).join('+') || 'stays'} ${best.value.toFraction()} ${best.outside.sign === 0 ? '' : best.outside.toFraction()}`;
}

test('every stack tried one by one comes to the same', () => {
  const size = fc.integer({ min: 1, max: 40 });
  fc.assert(
    fc.property(
      fc.uniqueArray(size, { minLength: 0, maxLength: 7 }),
      fc.integer({ min: 1, max: 4 }),
      fc.integer({ min: -60, max: 260 }),
      fc.integer({ min: 1, max: 60 }),
      fc.constantFrom(-3, -1, 1, 2, 7),
      fc.integer({ min: 0, max: 120 }),
      fc.integer({ min: 0, max: 25 }),
      fc.constantFrom('middle', 'nominal', 'low', 'high'),
      fc.boolean(),
      (sizes, most, value, fitted, slope, low, width, form, mayStay) => {
        const ascending = sizes.sort((a, b) => a - b).map((one) => Rational.of(one, 4));
        const at = (number: number): Amount => ({ kind: 'pressure', value: Rational.of(number, 2) });
        const limits: Limits =
          form === 'low'
            ? { low: at(low) }
            : form === 'high'
              ? { high: at(low) }
              : form === 'middle'
                ? { low: at(low), high: at(low + width) }
                : { low: at(low), high: at(low + width), nominal: at(low + Math.floor(width / 3)) };
        const question: StockQuestion = {
          value: at(value),
          fitted: { kind: 'length', value: Rational.of(fitted, 4) },
          sensitivity: { kind: 'pressure per length', value: Rational.of(slope) },
          limits,
          stacks: stacksOf(ascending, most) ?? [],
          mayStay,
        };
        const answer = chooseFromStock(question);
        const of = answer.choice === 'chosen' ? answer.best : answer.nearest;
        const found =
          of === undefined
            ? 'nothing'
            : `${of.sizes.map((one) => one.toFraction()).join('+') || 'stays'} ${of.predicted.value.toFraction()} ${answer.choice === 'chosen' ? '' : answer.excess?.toFraction()}`;
        expect(found).toBe(bruteForce(question, ascending, most));
      },
    ),
    { numRuns: 400 },
  );
});
