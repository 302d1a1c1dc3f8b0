import { type LimitPair, Spread, type SpreadScale, scaleFor } from '@ferrule/compare';
import { findUnit, Rational, rootOf } from '@ferrule/engine';
import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import { Counting } from '../../packages/compare/src/readings/counted.ts';
import { lew, lottery, mavro, michelso } from './strd-data.ts';

function exact(text: string): Rational {
  const value = Rational.parse(text);
  if (value === undefined) throw new Error(text);
  return value;
}
const listed = (text: string): readonly string[] => text.trim().split(/\s+/);

/** The first value, then the other two in turn: how NIST defines its data sets of 1001 values. */
const pairs = (first: string, low: string, high: string): readonly string[] => [
  first,
  ...Array.from({ length: 500 }, () => [low, high]).flat(),
];

const none: SpreadScale = { limits: [], edges: [] };

function spreadOf(values: readonly Rational[], scale = none): Spread {
  const spread = new Spread(scale);
  for (const value of values) spread.add(value);
  return spread;
}

const rounded = (value: Rational, certified: string): string =>
  value.toDecimal((certified.split('.')[1] ?? '').length);

describe('NIST Statistical Reference Datasets, univariate, to every certified digit', () => {
  // As carried by mathnet/mathnet-numerics, data/NIST (read); NumAcc are made by their definition (read). PiDigits is left out:
  // its data were not at hand, and 5000 computed digits of π add up to 22 679, where its certified mean (memory) says 22 674.
  it.each<[string, readonly string[], string, string]>([
    ['Lottery', listed(lottery), '518.958715596330', '291.699727470969'],
    ['Lew', listed(lew), '-177.435000000000', '277.332168044316'],
    ['Mavro', listed(mavro), '2.00185600000000', '0.000429123454003053'],
    ['Michelso', listed(michelso), '299.852400000000', '0.0790105478190518'],
    ['NumAcc1', ['10000001', '10000003', '10000002'], '10000002', '1'],
    ['NumAcc2', pairs('1.2', '1.1', '1.3'), '1.2', '0.1'],
    ['NumAcc3', pairs('1000000.2', '1000000.1', '1000000.3'), '1000000.2', '0.1'],
    ['NumAcc4', pairs('10000000.2', '10000000.1', '10000000.3'), '10000000.2', '0.1'],
  ])('%s, as a whole and put together from parts', (_, texts, mean, deviation) => {
    const values = texts.map(exact);
    const parts = spreadOf(values.slice(0, 7));
    parts.merge(spreadOf(values.slice(7)).toJSON());
    for (const { summary } of [spreadOf(values), parts]) {
      if (summary?.variance === undefined) throw new Error('no variance');
      expect(summary.n).toBe(texts.length);
      expect(rounded(summary.mean, mean)).toBe(mean);
      expect(rounded(rootOf(summary.variance, 18, 'nearest'), deviation)).toBe(deviation);
    }
  });
});

describe('as readings against a limit are written', () => {
  // The certified values of NIST above, rounded to the digits that are shown; lengths stand for the values.
  it.each<[string, string, number, string, string]>([
    ['Michelso', michelso, 4, '299.852400 mm', '0.079011 mm'],
    ['Mavro', mavro, 5, '2.0018560 mm', '0.0004291 mm'],
    ['Lottery', lottery, 0, '518.96 mm', '291.70 mm'],
  ])('%s', (_, texts, decimals, mean, deviation) => {
    const unit = findUnit('mm');
    if (unit === undefined) throw new Error('no millimetre');
    const counting = new Counting(undefined);
    for (const text of listed(texts)) counting.add({ value: exact(text).times(unit.factor) });
    expect(counting.counted({ unit, decimals })).toMatchObject({ mean, deviation });
  });

  it('a deviation of temperatures is a difference, in kelvin', () => {
    const unit = findUnit('°C', 'temperature');
    if (unit === undefined) throw new Error('no degree');
    const counting = new Counting(undefined);
    for (const text of ['80', '82', '84'])
      counting.add({
        value: exact(text)
          .times(unit.factor)
          .plus(unit.offset ?? Rational.zero),
      });
    expect(counting.counted({ unit, decimals: 0 })).toMatchObject({ mean: '82.00 °C', deviation: '2.00 K' });
  });
});

describe('counts', () => {
  const between = (low: string, high: string): LimitPair => ({ low: exact(low), high: exact(high) });
  const scale = scaleFor([between('1.0', '2.0'), between('1.2', '1.8'), { high: exact('1.5') }]);

  it('take a limit as inside, and a value past it by as little as can be as outside', () => {
    const spread = spreadOf(
      ['1.0', '0.9999999999999999999', '2.0', '2.0000000000000000001', '1.5'].map(exact),
      scale,
    );
    expect(spread.counts).toEqual([
      { below: 1, inside: 3, above: 1 },
      { below: 2, inside: 1, above: 2 },
      { below: 0, inside: 3, above: 2 },
    ]);
  });

  it('have bins whose edges are the outermost limits, each of them with what lies inside', () => {
    expect(scale.edges.map((one) => one.toDecimal(1))).toEqual(
      Array.from({ length: 21 }, (_, place) => (0.5 + place / 10).toFixed(1)),
    );
    const { bins } = spreadOf(
      ['0.49', '0.5', '0.99', '1.0', '1.95', '2.0', '2.01', '2.5', '2.6'].map(exact),
      scale,
    );
    const found = bins.flatMap((count, place) => (count === 0 ? [] : [[place, count]]));
    // Bin 0 lies before the first edge, 6 begins at the lower limit, 15 ends at the upper one.
    expect(found).toEqual([
      [0, 1],
      [1, 1],
      [5, 1],
      [6, 1],
      [15, 2],
      [16, 1],
      [21, 2],
    ]);
  });

  it('have bins around a single limit by what is plausible, and none where nothing says how wide', () => {
    const plausible = [exact('0'), exact('40')] as const;
    const alone = scaleFor([{ high: exact('4') }, { high: exact('4') }], { plausible });
    expect(alone.edges.map((one) => one.toDecimal(0))).toEqual(
      Array.from({ length: 15 }, (_, place) => String(place)),
    );
    const two = scaleFor([{ high: exact('4') }, { high: exact('6') }], { plausible, step: exact('1') });
    expect(two.edges.map((one) => one.toDecimal(1))).toEqual(
      Array.from({ length: 18 }, (_, place) => (place - 0.5).toFixed(1)),
    );
    expect(scaleFor([{ high: exact('4') }]).edges).toEqual([]);
    expect(scaleFor([{}]).edges).toEqual([]);
  });

  it('have bins of whole steps that hold as many steps each, where values go by steps', () => {
    const stepped = scaleFor([between('12.00', '12.10'), between('12.00', '12.14')], { step: exact('0.01') });
    expect(stepped.edges.slice(0, 3).map((one) => one.toDecimal(3))).toEqual(['11.895', '11.915', '11.935']);
    const even = Array.from({ length: 40 }, (_, place) => exact((11.9 + place / 100).toFixed(2)));
    const { bins } = spreadOf(even, stepped);
    expect(new Set(bins.slice(1, -1))).toEqual(new Set([2]));
    expect(bins.at(0)).toBe(0);
  });

  it('take a value that came up many times as so many values', () => {
    const [once, often] = [spreadOf(['1.1', '1.1', '1.1', '1.9'].map(exact), scale), new Spread(scale)];
    often.add(exact('1.1'), 3);
    often.add(exact('1.9'));
    expect(often.toJSON()).toEqual(once.toJSON());
  });

  it('are refused from another scale', () => {
    expect(() => spreadOf([], scale).merge(spreadOf([]).toJSON())).toThrow(RangeError);
  });
});

test('however values are split and in whichever order the parts are put together, the same comes out', () => {
  const scale = scaleFor([{ low: exact('-1'), high: exact('1') }]);
  const values = fc.array(
    fc.tuple(fc.integer({ min: -4000, max: 4000 }), fc.constantFrom(1000, 7, 127, 333_333)),
    { maxLength: 60 },
  );
  fc.assert(
    fc.property(values, fc.array(fc.nat(60), { maxLength: 6 }), fc.boolean(), (drawn, cuts, isTurned) => {
      const all = drawn.map(([n, d]) => Rational.of(n, d));
      const places = [
        0,
        ...cuts.map((cut) => Math.min(cut, all.length)).toSorted((a, b) => a - b),
        all.length,
      ];
      const parts = places
        .slice(1)
        .map((end, place) => spreadOf(all.slice(places[place], end), scale).toJSON());
      const merged = new Spread(scale);
      // As it would come back from a file or another process.
      for (const part of isTurned ? parts.toReversed() : parts)
        merged.merge(JSON.parse(JSON.stringify(part)));
      const whole = spreadOf(all, scale);
      expect(merged.toJSON()).toEqual(whole.toJSON());
      expect(merged.summary?.variance?.toFraction()).toBe(whole.summary?.variance?.toFraction());
      const inside = all.filter((one) => one.abs().compare(Rational.one) <= 0).length;
      expect(whole.counts[0]?.inside).toBe(inside);
      expect(whole.bins.reduce((sum, one) => sum + one, 0)).toBe(all.length);
    }),
  );
});
