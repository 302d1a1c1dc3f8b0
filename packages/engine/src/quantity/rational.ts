/** How {@link Rational.toDecimal} rounds: a tie away from zero, a tie to the even digit, towards +∞, towards −∞. */
export type Rounding = 'half-away' | 'half-even' | 'up' | 'down';

interface Big {
  readonly n: bigint;
  readonly d: bigint;
}

const safe = Number.MAX_SAFE_INTEGER;
const decimal = /^([+-]?)(\d*)(?:\.(\d+))?$/;

function gcdOfNumbers(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b];
  return a;
}

function gcdOfBigints(a: bigint, b: bigint): bigint {
  while (b !== 0n) {
    if (a <= safe && b <= safe) return BigInt(gcdOfNumbers(Number(a), Number(b)));
    [a, b] = [b, a % b];
  }
  return a;
}

const magnitude = (a: bigint): bigint => (a < 0n ? -a : a);

/**
 * An exact number: a fraction of two integers.
 *
 * Small fractions live in two plain numbers. A sum, difference or product of safe integers whose result is itself a
 * safe integer is exact in a double, so the result is tested and anything larger goes to big integers. Small fractions
 * are not kept in lowest terms (a decimal stays over its power of ten): only `equals` and `compare` say what is equal.
 */
export class Rational {
  static readonly zero = new Rational(0, 1, undefined);
  static readonly one = new Rational(1, 1, undefined);

  private readonly n: number;
  private readonly d: number;
  private readonly big: Big | undefined;

  private constructor(n: number, d: number, big: Big | undefined) {
    this.n = n;
    this.d = d;
    this.big = big;
  }

  /** The fraction n/d of two integers. Throws a RangeError for a number that is no safe integer, or a zero d. */
  static of(n: number | bigint, d: number | bigint = 1): Rational {
    for (const part of [n, d]) {
      if (typeof part === 'number' && !Number.isSafeInteger(part))
        throw new RangeError(`not a safe integer: ${part}`);
    }
    return Rational.reduced(BigInt(n), BigInt(d));
  }

  /** Reads a plain decimal (`-0.200`, `.5`) or two of them with a slash (`5/9`); anything else gives undefined. */
  static parse(text: string): Rational | undefined {
    const slash = text.indexOf('/');
    if (slash >= 0) {
      const above = Rational.parseDecimal(text.slice(0, slash));
      const below = Rational.parseDecimal(text.slice(slash + 1));
      return above === undefined || below === undefined || below.sign === 0 ? undefined : above.over(below);
    }
    return Rational.parseDecimal(text);
  }

  private static parseDecimal(text: string): Rational | undefined {
    const [, sign, whole = '', fraction = ''] = decimal.exec(text) ?? [];
    if (sign === undefined || whole.length + fraction.length === 0) return undefined;
    if (whole.length + fraction.length <= 15) {
      const n = Number(whole + fraction);
      return new Rational(sign === '-' ? 0 - n : n, 10 ** fraction.length, undefined);
    }
    const n = BigInt(whole + fraction);
    return Rational.reduced(sign === '-' ? -n : n, 10n ** BigInt(fraction.length));
  }

  private static reduced(n: bigint, d: bigint): Rational {
    if (d === 0n) throw new RangeError('a fraction over zero');
    const g = gcdOfBigints(magnitude(n), magnitude(d)) * (d < 0n ? -1n : 1n);
    const top = n / g;
    const bottom = d / g;
    return bottom <= safe && magnitude(top) <= safe
      ? new Rational(Number(top), Number(bottom), undefined)
      : new Rational(0, 0, { n: top, d: bottom });
  }

  private wide(): Big {
    return this.big ?? { n: BigInt(this.n), d: BigInt(this.d) };
  }

  get sign(): -1 | 0 | 1 {
    const n = this.big === undefined ? this.n : this.big.n;
    return n > 0 ? 1 : n < 0 ? -1 : 0;
  }

  plus(o: Rational): Rational {
    return this.add(o, 1);
  }

  minus(o: Rational): Rational {
    return this.add(o, -1);
  }

  private add(o: Rational, way: 1 | -1): Rational {
    if (this.big === undefined && o.big === undefined) {
      const d = this.d;
      const e = o.d;
      if (d === e) {
        const n = this.n + way * o.n;
        if (n <= safe && n >= -safe) return new Rational(n, d, undefined);
      } else {
        // Decimals over different powers of ten: the finer denominator is a common one. A quotient of safe integers
        // that comes out whole is exact (a remainder of 1 is more than half a unit in the last place).
        const up = e / d;
        const down = d / e;
        const isFiner = up === Math.trunc(up);
        const isCoarser = down === Math.trunc(down);
        const p = isCoarser ? this.n : this.n * (isFiner ? up : e);
        const q = isFiner ? o.n : o.n * (isCoarser ? down : d);
        const n = p + way * q;
        const m = isFiner ? e : isCoarser ? d : d * e;
        if (p <= safe && p >= -safe && q <= safe && q >= -safe && n <= safe && n >= -safe && m <= safe) {
          return new Rational(n, m, undefined);
        }
      }
    }
    const a = this.wide();
    const b = o.wide();
    return Rational.reduced(a.n * b.d + BigInt(way) * b.n * a.d, a.d * b.d);
  }

  times(o: Rational): Rational {
    if (this.big === undefined && o.big === undefined) {
      const n = this.n * o.n;
      const d = this.d * o.d;
      if (n <= safe && n >= -safe && d <= safe) return new Rational(n + 0, d, undefined);
    }
    const a = this.wide();
    const b = o.wide();
    return Rational.reduced(a.n * b.n, a.d * b.d);
  }

  /** The quotient. Throws a RangeError when `o` is zero: ask its `sign` first. */
  over(o: Rational): Rational {
    if (o.sign === 0) throw new RangeError('division by zero');
    if (this.big === undefined && o.big === undefined) {
      const turn = o.n < 0 ? -1 : 1;
      const n = this.n * o.d * turn;
      const d = this.d * o.n * turn;
      if (n <= safe && n >= -safe && d <= safe) return new Rational(n + 0, d, undefined);
    }
    const a = this.wide();
    const b = o.wide();
    return Rational.reduced(a.n * b.d, a.d * b.n);
  }

  negated(): Rational {
    const big = this.big;
    return big === undefined
      ? new Rational(0 - this.n, this.d, undefined)
      : new Rational(0, 0, { n: -big.n, d: big.d });
  }

  abs(): Rational {
    return this.sign < 0 ? this.negated() : this;
  }

  /** −1, 0 or 1 as this is less than, equal to or greater than `o`. */
  compare(o: Rational): -1 | 0 | 1 {
    if (this.big === undefined && o.big === undefined) {
      const d = this.d;
      const e = o.d;
      const p = d === e ? this.n : this.n * e;
      const q = d === e ? o.n : o.n * d;
      if (p <= safe && p >= -safe && q <= safe && q >= -safe) return p < q ? -1 : p > q ? 1 : 0;
    }
    const a = this.wide();
    const b = o.wide();
    const p = a.n * b.d;
    const q = b.n * a.d;
    return p < q ? -1 : p > q ? 1 : 0;
  }

  equals(o: Rational): boolean {
    return this.compare(o) === 0;
  }

  /** The greatest integer that is not above this. */
  floor(): Rational {
    const { n, d } = this.wide();
    const whole = n / d;
    return Rational.of(n < 0n && whole * d !== n ? whole - 1n : whole);
  }

  /** What is left of this after whole multiples of `o` (positive), always from 0 up to but not including `o`. */
  mod(o: Rational): Rational {
    return this.minus(o.times(this.over(o).floor()));
  }

  /** The exact value rounded to `places` decimals, as plain text; a rounded zero has no sign. */
  toDecimal(places: number, rounding: Rounding = 'half-away'): string {
    const { n, d } = this.wide();
    const scaled = magnitude(n) * 10n ** BigInt(places);
    let whole = scaled / d;
    const rest = scaled % d;
    if (rest !== 0n) {
      const half = rest * 2n - d;
      const away =
        rounding === 'up'
          ? n > 0n
          : rounding === 'down'
            ? n < 0n
            : half > 0n || (half === 0n && (rounding === 'half-away' || whole % 2n === 1n));
      if (away) whole += 1n;
    }
    const text = whole.toString().padStart(places + 1, '0');
    const point = text.length - places;
    return `${n < 0n && whole > 0n ? '-' : ''}${text.slice(0, point)}${places > 0 ? `.${text.slice(point)}` : ''}`;
  }

  /** The nearest double or a neighbour of it: for drawing, never for deciding. */
  toNumber(): number {
    const big = this.big;
    if (big === undefined) return this.n / this.d;
    // Numerator and denominator may each be beyond a double: drop the same number of low bits from both.
    const bits = Math.max(magnitude(big.n).toString(16).length, big.d.toString(16).length) * 4 - 1000;
    const drop = BigInt(Math.max(0, bits));
    return Number(big.n >> drop) / Number(big.d >> drop);
  }

  /** `n/d` in lowest terms, or `n` for a whole number; {@link Rational.parse} reads it back. */
  toFraction(): string {
    const { n, d } = this.wide();
    const g = gcdOfBigints(magnitude(n), d);
    return d === g ? `${n / g}` : `${n / g}/${d / g}`;
  }

  toString(): string {
    return this.toFraction();
  }

  toJSON(): string {
    return this.toFraction();
  }
}
