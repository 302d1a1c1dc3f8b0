import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Amount,
  compareAmounts,
  divideAmounts,
  meanOfAmounts,
  parseQuantity,
  subtractAmounts,
} from '../../packages/engine/src/quantity/index.ts';

/*
 * Every decision is made a second time here with whole numbers only: fractions of big integers that are never reduced,
 * compared by multiplying across. The factors are the definitions of the units (NIST SP 811, Appendix B; read), written
 * out as integer fractions apart from the table of the engine.
 */
interface Fraction {
  readonly n: bigint;
  readonly d: bigint;
}
type Definition = readonly [symbol: string, n: bigint, d: bigint, offsetN?: bigint, offsetD?: bigint];

const lbf = 44482216152605n; // × 1e-13 N
const e13 = 10n ** 13n;
const kinds: Readonly<Record<string, readonly Definition[]>> = {
  length: [
    ['mm', 1n, 1n],
    ['µm', 1n, 1000n],
    ['in', 254n, 10n],
    ['ft', 3048n, 10n],
    ['mil', 254n, 10000n],
  ],
  torque: [
    ['N·m', 1n, 1n],
    ['lbf·ft', lbf * 3048n, e13 * 10000n],
    ['lbf·in', lbf * 254n, e13 * 10000n],
    ['kgf·m', 980665n, 100000n],
  ],
  pressure: [
    ['bar', 100000n, 1n],
    ['kPa', 1000n, 1n],
    ['MPa', 1000000n, 1n],
    ['psi', lbf * 10n ** 8n, e13 * 64516n],
    ['kgf/cm²', 980665n, 10n],
  ],
  temperature: [
    ['°C', 1n, 1n],
    ['°F', 5n, 9n, -160n, 9n],
    ['K', 1n, 1n, -27315n, 100n],
  ],
  volume: [
    ['mL', 1n, 1n],
    ['L', 1000n, 1n],
    ['gal', 231n * 254n ** 3n, 10n ** 6n],
  ],
};
const differenceSymbol: Readonly<Record<string, string>> = { '°C': 'Δ°C', '°F': 'Δ°F', K: 'K' };

const plus = (a: Fraction, b: Fraction): Fraction => ({ n: a.n * b.d + b.n * a.d, d: a.d * b.d });
const minus = (a: Fraction, b: Fraction): Fraction => plus(a, { n: -b.n, d: b.d });
const order = (a: Fraction, b: Fraction): -1 | 0 | 1 => {
  const across = a.n * b.d - b.n * a.d;
  return across > 0n ? 1 : across < 0n ? -1 : 0;
};
const floorOf = ({ n, d }: Fraction): bigint => (n >= 0n ? n / d : -((-n + d - 1n) / d));

interface Written {
  readonly mantissa: bigint;
  readonly decimals: number;
  readonly unit: Definition;
}

function textOf({ mantissa, decimals }: Written, symbol: string): string {
  const digits = (mantissa < 0n ? -mantissa : mantissa).toString().padStart(decimals + 1, '0');
  const cut = digits.length - decimals;
  const number = decimals === 0 ? digits : `${digits.slice(0, cut)}.${digits.slice(cut)}`;
  return `${mantissa < 0n ? '-' : ''}${number} ${symbol}`.trim();
}

/** The number in the base unit; a difference has no offset. */
function exactOf({ mantissa, decimals, unit }: Written, isDifference = false): Fraction {
  const [, n, d, offsetN = 0n, offsetD = 1n] = unit;
  const scaled = { n: mantissa * n, d: 10n ** BigInt(decimals) * d };
  return isDifference ? scaled : plus(scaled, { n: offsetN, d: offsetD });
}

function amountOf(text: string, kind?: 'temperature'): Amount {
  const read = parseQuantity(text, kind);
  if ('fault' in read) throw new Error(`${text}: ${read.fault.code}`);
  return read.quantity;
}

function amountIn(
  result: { readonly amount: Amount } | { readonly fault: { readonly code: string } },
): Amount {
  if ('fault' in result) throw new Error(result.fault.code);
  return result.amount;
}

const written = (units: readonly Definition[]): fc.Arbitrary<Written> =>
  fc.record({
    mantissa: fc.bigInt(-99_999_999n, 99_999_999n),
    decimals: fc.integer({ min: 0, max: 6 }),
    unit: fc.constantFrom(...units),
  });

/** The decimals around an exact value, in a unit and to a place: the last one not above it and its neighbours. */
function around(
  value: Fraction,
  unit: Definition,
  decimals: number,
  isDifference: boolean,
): readonly Written[] {
  const [, n, d, offsetN = 0n, offsetD = 1n] = unit;
  const moved = isDifference ? value : minus(value, { n: offsetN, d: offsetD });
  const nearest = floorOf({ n: moved.n * d * 10n ** BigInt(decimals), d: moved.d * n });
  return [-1n, 0n, 1n].map((step) => ({ mantissa: nearest + step, decimals, unit }));
}

const seen = (): Record<'below' | 'at' | 'above', number> => ({ below: 0, at: 0, above: 0 });
const nameOf = { '-1': 'below', '0': 'at', '1': 'above' } as const;

describe.each(Object.entries(kinds))('at the limit and one last digit either side: %s', (kind, units) => {
  const isTemperature = kind === 'temperature';
  const expected = isTemperature ? 'temperature' : undefined;
  const reading = (one: Written) => amountOf(textOf(one, one.unit[0]), expected);
  const limitUnit = fc.constantFrom(...units);
  const places = fc.integer({ min: 0, max: 6 });

  it('a difference of two readings', () => {
    const tally = seen();
    const judge = (a: Written, b: Written, unit: Definition, decimals: number) => {
      const exact = minus(exactOf(a), exactOf(b));
      const difference = amountIn(subtractAmounts(reading(a), reading(b)));
      for (const limit of around(exact, unit, decimals, true)) {
        const stated = amountOf(textOf(limit, isTemperature ? (differenceSymbol[unit[0]] ?? '') : unit[0]));
        const truth = order(exact, exactOf(limit, true));
        tally[nameOf[truth]] += 1;
        expect(compareAmounts(difference, stated)).toBe(truth);
      }
    };
    fc.assert(fc.property(written(units), written(units), limitUnit, places, judge), { numRuns: 400 });
    fc.assert(
      fc.property(written(units), fc.bigInt(-999_999n, 999_999n), (a, mantissa) =>
        judge(a, { ...a, mantissa }, a.unit, a.decimals),
      ),
      { numRuns: 200 },
    );
    expect(Math.min(tally.below, tally.at, tally.above)).toBeGreaterThan(150);
  });

  it('a mean of readings', () => {
    const tally = seen();
    fc.assert(
      fc.property(
        fc.array(written(units), { minLength: 1, maxLength: 5 }),
        fc.boolean(),
        limitUnit,
        places,
        (mixed, isUniform, unit, decimals) => {
          const [first] = mixed;
          const all = isUniform && first ? mixed.map((one) => ({ ...first, mantissa: one.mantissa })) : mixed;
          const sum = all.map((one) => exactOf(one)).reduce(plus);
          const exact = { n: sum.n, d: sum.d * BigInt(all.length) };
          const mean = amountIn(meanOfAmounts(all.map(reading)));
          const [inUnit, to] = isUniform && first ? [first.unit, 6] : [unit, decimals];
          for (const limit of around(exact, inUnit, to, false)) {
            const truth = order(exact, exactOf(limit));
            tally[nameOf[truth]] += 1;
            expect(compareAmounts(mean, amountOf(textOf(limit, limit.unit[0]), expected))).toBe(truth);
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(Math.min(tally.below, tally.at, tally.above)).toBeGreaterThan(40);
  });

  const title = isTemperature ? 'temperatures have no share' : 'a share of one reading in another';
  it(title, () => {
    if (isTemperature) {
      const refused = divideAmounts(amountOf('82 °C'), amountOf('41 °C'));
      expect(refused).toMatchObject({ fault: { code: 'kinds-do-not-combine' } });
      return;
    }
    const tally = seen();
    const percent: Definition = ['%', 1n, 100n];
    const one: Definition = ['', 1n, 1n];
    fc.assert(
      fc.property(
        written(units),
        written(units).filter((b) => b.mantissa !== 0n),
        fc.option(fc.bigInt(1n, 400n), { nil: undefined }),
        places,
        fc.constantFrom(percent, one),
        (a, b, multiple, decimals, ratio) => {
          const top = multiple === undefined ? a : { ...b, mantissa: b.mantissa * multiple };
          const [above, below] = [exactOf(top), exactOf(b)];
          const turn = below.n < 0n ? -1n : 1n;
          const exact = { n: above.n * below.d * turn, d: above.d * below.n * turn };
          const share = amountIn(divideAmounts(reading(top), reading(b)));
          for (const limit of around(exact, ratio, decimals, false)) {
            const read = parseQuantity(textOf(limit, ratio[0]), 'ratio');
            if ('fault' in read) throw new Error(read.fault.code);
            const truth = order(exact, exactOf(limit));
            tally[nameOf[truth]] += 1;
            expect(compareAmounts(share, read.quantity)).toBe(truth);
          }
        },
      ),
      { numRuns: 300 },
    );
    expect(Math.min(tally.below, tally.at, tally.above)).toBeGreaterThan(100);
  });
});

it('is where doubles fail: 41.63 − 22.43 is within 19.20', () => {
  const difference = amountIn(subtractAmounts(amountOf('41.63 mm'), amountOf('22.43 mm')));
  expect(41.63 - 22.43 <= 19.2).toBe(false);
  expect(compareAmounts(difference, amountOf('19.20 mm'))).toBe(0);
});
