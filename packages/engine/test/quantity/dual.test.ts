import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  convert,
  judgeDual,
  parseQuantity,
  parseRangeStatement,
  parseStatement,
  type Quantity,
  unitsOf,
  writeQuantity,
} from '../../src/quantity/index.ts';

function told(text: string): string {
  const statement = parseStatement(text);
  if ('fault' in statement) return statement.fault.code;
  if (!('second' in statement)) return 'alone';
  const { agreement } = statement;
  if (agreement.agreement === 'agrees') return 'agrees';
  return 'shouldRead' in agreement
    ? `${agreement.reason}: ${writeQuantity(agreement.shouldRead)}`
    : `${agreement.reason}: ${agreement.found}`;
}

describe('a second value', () => {
  it.each([
    ['21.00 mm', 'alone'],
    ['21.00 mm (0.827 in)', 'agrees'],
    ['21.00 mm (.827 in)', 'agrees'],
    ['21.00 mm (0.826 in)', 'off: 0.827 in'],
    ['21.00 mm (0.8268 in)', 'agrees'],
    ['21.00 mm (0.8270 in)', 'off: 0.8268 in'],
    ['21.00 mm (8.27 in)', 'misplaced-decimal: 0.827 in'],
    ['21.00 mm (.0827 in)', 'misplaced-decimal: 0.827 in'],
    ['21.00 mm (827 in)', 'misplaced-decimal: 0.827 in'],
    ['21.00 mm (827 mil)', 'agrees'],
    ['21.00 mm (827 µm)', 'wrong-unit: 827 mil'],
    ['21.00 mm (21.00 in)', 'wrong-unit: 21.00 mm'],
    ['50 N·m (37 lbf·in)', 'wrong-unit: 37 lbf·ft'],
    ['3.4 N·m (30 lbf)', 'wrong-unit: 30 lbf·in'],
    ['3.4 N·m (99 lbf)', 'wrong-kind: force'],
    ['82 °C (180 °F)', 'agrees'],
    ['82 °C (82 °F)', 'wrong-unit: 82 °C'],
    ['82 °C (180 psi)', 'wrong-unit: 180 °F'],
    ['80 °C (144 °F)', 'as-difference: 176 °F'],
    ['0 °C (0 °F)', 'as-difference: 32 °F'],
    ['80 °C (144 Δ°F)', 'as-difference: 176 °F'],
    ['5 K (41 °F)', 'as-temperature: 9 Δ°F'],
    ['5 Δ°C (41 °F)', 'as-temperature: 9 Δ°F'],
    ['5 Δ°C (41 Δ°F)', 'as-temperature: 9 Δ°F'],
    ['9 Δ°F (-13 °C)', 'as-temperature: 5 K'],
    ['5 Δ°C (9 Δ°F)', 'agrees'],
    ['0.83 in (21.00 mm)', 'converted-first: 21.00 mm'],
    ['0.827 in (21.01 mm)', 'agrees'],
    ['41 N·m (31 lbf·ft)', 'off: 30 lbf·ft'],
    ['100 bar (10 MPa)', 'agrees'],
    ['100 bar (10 kPa)', 'misplaced-decimal: 10000 kPa'],
    ['100 bar (100 MPa)', 'misplaced-decimal: 10.0 MPa'],
    // Either neighbour at an exact tie.
    ['0.127 mm (0.00 in)', 'agrees'],
    ['0.127 mm (0.01 in)', 'agrees'],
    ['0.128 mm (0.00 in)', 'off: 0.01 in'],
    // Zeros at the end of a whole number are places only where the original is no finer.
    ['210 bar (3050 psi)', 'agrees'],
    ['210 bar (3046 psi)', 'agrees'],
    ['210 bar (3000 psi)', 'off: 3046 psi'],
    ['210.0 bar (3050 psi)', 'off: 3046 psi'],
    ['35 N·m (30 lbf·ft)', 'off: 26 lbf·ft'],
    ['0 mm (0 in)', 'agrees'],
    ['-0.50 mm (-.020 in)', 'agrees'],
    ['-0.50 mm (.020 in)', 'off: -0.020 in'],
    ['21.00 mm (', 'not-a-statement'],
    ['21.00 mm (0.827 in) (0.83 in)', 'not-a-statement'],
    ['21,00 mm (0.827 in)', 'decimal-comma'],
    ['21.00 mm (,827 in)', 'decimal-comma'],
    ['.827 in (21.01 mm)', 'bare-point'],
    ['21.00 mm ()', 'empty'],
  ])('%s: %s', (text, expected) => {
    expect(told(text)).toBe(expected);
  });

  it('may go either way at an exact tie', () => {
    // 0.0635 mm is 0.0025 in exactly.
    expect(told('0.0635 mm (.002 in)')).toBe('agrees');
    expect(told('0.0635 mm (.003 in)')).toBe('agrees');
    expect(told('0.0634 mm (.003 in)')).toBe('off: 0.002 in');
    expect(told('0.0636 mm (.002 in)')).toBe('off: 0.003 in');
  });

  it('agrees whenever it was converted exactly, and never one last digit away', () => {
    const lengths = unitsOf('length');
    fc.assert(
      fc.property(
        fc.bigInt(1n, 10n ** 7n),
        fc.integer({ min: 0, max: 4 }),
        fc.constantFrom(...lengths),
        fc.constantFrom(...lengths),
        fc.integer({ min: 1, max: 6 }),
        (mantissa, places, from, to, decimals) => {
          const original = whole(`${Number(mantissa) / 10 ** places} ${from.symbol}`);
          if (original === undefined) return;
          const second = convert(original, to, decimals);
          expect(judgeDual(original, second).agreement).toBe('agrees');
          const last = second.digits.at(-1) ?? '0';
          const moved = whole(`${second.digits.slice(0, -1)}${(Number(last) + 5) % 10} ${to.symbol}`);
          expect(moved && judgeDual(original, moved).agreement).toBe('disagrees');
        },
      ),
      { numRuns: 500 },
    );
  });
});

function whole(text: string): Quantity | undefined {
  const read = parseQuantity(text);
  return 'quantity' in read ? read.quantity : undefined;
}

describe('a pair beside a pair', () => {
  it.each([
    ['2 to 4 mm (.08 to .16 in)', { agreement: 'agrees' }],
    ['2 mm to 4 mm (.08 in to .16 in)', { agreement: 'agrees' }],
    ['0.38 to 0.25 mm (.010 to .015 in)', { reason: 'reversed', descending: 'original' }],
    ['0.25 to 0.38 mm (.015 to .010 in)', { reason: 'reversed', descending: 'second' }],
    ['2 to 4 mm (.08 to .17 in)', { reason: 'off', end: 'to' }],
    ['2 to 4 mm (.8 to .16 in)', { reason: 'misplaced-decimal', end: 'from' }],
  ])('%s: %o', (text, expected) => {
    expect(parseRangeStatement(text)).toMatchObject({ agreement: expected });
  });

  it.each([
    ['2 mm (.08 to .16 in)', 'not-a-statement'],
    ['2 to 3 to 4 mm', 'not-a-statement'],
    ['2 bar to 4 mm', 'wrong-kind'],
    ['2 to 4', 'missing-unit'],
  ])('%s: %s', (text, code) => {
    expect(parseRangeStatement(text, 'length')).toMatchObject({ fault: { code } });
  });

  it('may stand alone', () => {
    const statement = parseRangeStatement('0.38 to 0.25 mm');
    expect('original' in statement && statement.original.map(writeQuantity)).toEqual(['0.38 mm', '0.25 mm']);
  });
});
