import fc from 'fast-check';
import { all, create, type Fraction } from 'mathjs';
import { describe, expect, test } from 'vitest';
import {
  compileAmount,
  type Read,
  scopeOf,
  sensitivities,
  type Table,
  type TypedAmount,
  typeExpression,
} from '../../packages/engine/src/logic/index.ts';
import { type Kind, parseQuantity, Rational } from '../../packages/engine/src/quantity/index.ts';

const math = create(all ?? {}, { number: 'Fraction' });

const names = ['a', 'b', 'c', 's'] as const;
const kindOf = (name: string): Kind => (name === 's' ? 'ratio' : 'length');
const points = [
  [-12, 3],
  [-2, 8],
  [0, 4],
  [1, 4],
  [5, -7],
  [12, 9],
] as const;
const quantity = (text: string, kind: Kind) => {
  const parsed = parseQuantity(text, kind);
  if ('fault' in parsed) throw new Error(text);
  return parsed.quantity;
};
const table: Table = {
  id: 'wavy',
  title: 'wavy',
  of: 'length',
  gives: 'length',
  points: points.map(([at, value]) => [quantity(`${at} mm`, 'length'), quantity(`${value} mm`, 'length')]),
};
const scope = scopeOf(
  names.map((name) => [name, { type: 'amount', kind: kindOf(name) }]),
  new Map([['wavy', table]]),
);

type Json = unknown;
type Values = Readonly<Record<string, Fraction>>;

/**
 * What an expression comes to for these values, for the algebra library: a formula of the piece that they lie in (its
 * operand of `lowest`, its segment of a table), and its value. Undefined where there is none.
 */
interface Piece {
  readonly formula: string;
  readonly value: Fraction;
  /** A tie, or a point of a table: there is no derivative there. */
  readonly isKink: boolean;
}

const fraction = (n: number | bigint, d: number | bigint = 1): Fraction =>
  math.fraction(BigInt(n), BigInt(d));

function pieceOf(json: Json, values: Values): Piece | undefined {
  if (typeof json === 'string') {
    const value = math.fraction(json.replace(/ mm$/, ''));
    return { formula: `(${value.toFraction()})`, value, isKink: false };
  }
  const [[key = '', of] = []] = Object.entries(json as object);
  if (key === 'var') return { formula: String(of), value: values[String(of)] ?? fraction(0), isKink: false };
  if (key === 'if') return branch(of as readonly Json[], values);
  const places: readonly Json[] = Array.isArray(of) ? of : Object.values(of as object).filter(isExpression);
  const operands: Piece[] = [];
  for (const place of places) {
    const piece = pieceOf(place, values);
    if (!piece) return undefined;
    operands.push(piece);
  }
  const [one, other] = operands;
  if (!one) throw new Error(key);
  const isKink = operands.some((piece) => piece.isKink);
  const join = (sign: string, value: Fraction): Piece => ({
    formula: `(${operands.map((piece) => piece.formula).join(` ${sign} `)})`,
    value,
    isKink,
  });
  switch (key) {
    case '+':
      return other && join('+', one.value.add(other.value));
    case '*':
      return other && join('*', one.value.mul(other.value));
    case '/':
    case 'share':
      return other && !other.value.equals(0) ? join('/', one.value.div(other.value)) : undefined;
    case '-':
    case 'difference':
      return other
        ? join('-', one.value.sub(other.value))
        : { formula: `(-${one.formula})`, value: one.value.neg(), isKink };
    case 'mean': {
      const sum = operands.reduce((total, piece) => total.add(piece.value), fraction(0));
      const { formula } = join('+', sum);
      return { formula: `(${formula} / ${operands.length})`, value: sum.div(operands.length), isKink };
    }
    case 'lowest':
      return { ...far(operands, -1), isKink: isKink || isTied(operands, -1) };
    case 'highest':
      return { ...far(operands, 1), isKink: isKink || isTied(operands, 1) };
    case 'spread': {
      const [high, low] = [far(operands, 1), far(operands, -1)];
      const tied = isTied(operands, 1) || isTied(operands, -1);
      return {
        formula: `(${high.formula} - ${low.formula})`,
        value: high.value.sub(low.value),
        isKink: isKink || tied,
      };
    }
    case 'around': {
      // Whole circles of 7 mm, one after the other, until it lies in (−3.5, 3.5].
      let turns = 0;
      let { value } = one;
      for (; value.compare(fraction(7, 2)) > 0; turns--) value = value.sub(7);
      for (; value.compare(fraction(-7, 2)) <= 0; turns++) value = value.add(7);
      const isHalf = value.equals(fraction(7, 2));
      return { formula: `(${one.formula} + (${7 * turns}))`, value, isKink: isKink || isHalf };
    }
    case 'table': {
      const after = points.findIndex(([at]) => one.value.compare(at) <= 0);
      const [x0, y0] = points[Math.max(0, after - 1)] ?? [0, 0];
      const [x1, y1] = points[Math.max(1, after)] ?? [0, 0];
      if (after < 0 || one.value.compare(-12) < 0) return undefined;
      const isPoint = points.some(([at]) => one.value.equals(at));
      return {
        formula: `(${y0} + (${one.formula} - (${x0})) * (${y1 - y0}) / (${x1 - x0}))`,
        value: one.value
          .sub(x0)
          .mul(y1 - y0)
          .div(x1 - x0)
          .add(y0),
        isKink: isKink || isPoint,
      };
    }
    default:
      throw new Error(key);
  }
}

const isExpression = (one: unknown): boolean => one !== 'wavy' && one !== '7 mm';

function branch([condition, then, otherwise]: readonly Json[], values: Values): Piece | undefined {
  const [left, right] = (condition as { readonly '<': readonly Json[] })['<'];
  const a = pieceOf(left, values);
  const b = pieceOf(right, values);
  if (!a || !b) return undefined;
  const order = a.value.compare(b.value);
  const taken = pieceOf(order < 0 ? then : otherwise, values);
  // Where the condition itself stands on an edge, a small change would take the other branch.
  return taken && { ...taken, isKink: taken.isKink || order === 0 };
}

const far = (pieces: readonly Piece[], way: -1 | 1): Piece =>
  pieces.reduce((best, piece) => (piece.value.compare(best.value) * way > 0 ? piece : best));
const isTied = (pieces: readonly Piece[], way: -1 | 1): boolean =>
  pieces.filter((piece) => piece.value.equals(far(pieces, way).value)).length > 1;

const expressions: fc.Arbitrary<Json> = (() => {
  const { length } = fc.letrec<{ length: Json; ratio: Json }>((tie) => {
    const length = tie('length');
    const ratio = tie('ratio');
    const few = fc.array(length, { minLength: 1, maxLength: 3 });
    const two = fc.tuple(length, length);
    const variable = (...all: readonly string[]) => fc.constantFrom(...all).map((name) => ({ var: name }));
    return {
      length: fc.oneof(
        { maxDepth: 4, depthIdentifier: 'depth' },
        { arbitrary: variable('a', 'b', 'c'), weight: 3 },
        { arbitrary: fc.integer({ min: -3, max: 3 }).map((n) => `${n} mm`), weight: 1 },
        two.map((operands) => ({ '+': operands })),
        two.map((operands) => ({ difference: operands })),
        length.map((operand) => ({ '-': [operand] })),
        fc.tuple(ratio, length).map((operands) => ({ '*': operands })),
        fc.tuple(length, ratio).map((operands) => ({ '/': operands })),
        fc
          .tuple(fc.constantFrom('lowest', 'highest', 'spread', 'mean'), few)
          .map(([form, operands]) => ({ [form]: operands })),
        fc.tuple(two, two).map(([sides, [then, otherwise]]) => ({ if: [{ '<': sides }, then, otherwise] })),
        length.map((at) => ({ table: { of: 'wavy', at } })),
        length.map((of) => ({ around: { of, circle: '7 mm' } })),
      ),
      ratio: fc.oneof(
        { maxDepth: 4, depthIdentifier: 'depth' },
        { arbitrary: variable('s'), weight: 2 },
        { arbitrary: fc.constantFrom('0.5', '2', '-3'), weight: 1 },
        two.map(([of, whole]) => ({ share: { of, in: whole } })),
        fc.tuple(ratio, ratio).map((operands) => ({ '*': operands })),
      ),
    };
  });
  return length;
})();

/** In thousandths. Whole numbers of millimetres now and then: ties, zero divisors and points of the table are among them. */
const thousandth = fc.oneof(
  { arbitrary: fc.integer({ min: -6000, max: 6000 }), weight: 3 },
  { arbitrary: fc.integer({ min: -3, max: 3 }).map((n) => n * 1000), weight: 1 },
);
const numbers = fc.record(Object.fromEntries(names.map((name) => [name, thousandth])));

const reader =
  (values: Readonly<Record<string, Rational>>): Read =>
  (name) => {
    const value = values[name];
    return value && { kind: kindOf(name), value };
  };

function typed(json: Json): TypedAmount | undefined {
  const found = typeExpression(json, scope, { type: 'amount', kind: 'length' });
  // What divides by a zero that is written there is refused when it is typed.
  return found.ok ? found.expression : undefined;
}

/** Whether the value just now is far from every kink, so that a change of a millionth meets none. */
const isSmooth = (json: Json, values: Values, h: Fraction): boolean =>
  names.every((name) =>
    [h, h.neg()].every((way) => {
      const at = pieceOf(json, values);
      const beside = pieceOf(json, { ...values, [name]: values[name]?.add(way) ?? fraction(0) });
      return at && beside && !at.isKink && !beside.isKink && at.formula === beside.formula;
    }),
  );

describe('sensitivities of random expressions', () => {
  const counts = { smooth: 0, none: 0, linear: 0 };
  const h = Rational.of(1, 1_000_000);

  test('are the exact derivatives of mathjs, and those of central differences', () => {
    fc.assert(
      fc.property(expressions, numbers, (json, thousandths) => {
        const amount = typed(json);
        if (!amount) return;
        const values = Object.fromEntries(
          names.map((name) => [name, fraction(thousandths[name] ?? 0, 1000)]),
        );
        const exact = Object.fromEntries(
          names.map((name) => [name, Rational.of(thousandths[name] ?? 0, 1000)]),
        );
        const found = sensitivities(amount);
        const coefficients = found.linear ? found.coefficients : found.at(reader(exact));
        const piece = pieceOf(json, values);
        const answer = compileAmount(amount)(reader(exact));
        expect('amount' in answer ? answer.amount.value.toFraction() : undefined).toBe(
          piece?.value.toFraction(),
        );
        if (!piece) {
          // A sum whose derivative does not hang on where it stands has one even where a part of it has no value.
          if (!found.linear) expect(coefficients).toBeUndefined();
          counts.none += 1;
          return;
        }
        if (!coefficients) throw new Error('a value without sensitivities');
        if (!isSmooth(json, values, fraction(1, 1_000_000))) return;
        counts[found.linear ? 'linear' : 'smooth'] += 1;
        for (const name of names) {
          const own = coefficients.get(name) ?? Rational.zero;
          const derivative = math.derivative(piece.formula, name, { simplify: false });
          const expected = math.fraction(derivative.evaluate(values));
          expect(own.toFraction()).toBe(expected.toFraction());

          const beside = [h, h.negated()].map((step) => {
            const moved = compileAmount(amount)(
              reader({ ...exact, [name]: (exact[name] ?? Rational.zero).plus(step) }),
            );
            if (!('amount' in moved)) throw new Error('no value beside');
            return moved.amount.value;
          });
          const [after = Rational.zero, before = Rational.zero] = beside;
          const difference = after.minus(before).over(h.plus(h)).minus(own).abs();
          if (found.linear) expect(difference.sign).toBe(0);
          // The rest is h²/6 times a third derivative, which is bounded by how close a divisor comes to zero.
          else expect(difference.toNumber() / (1 + Math.abs(own.toNumber()))).toBeLessThan(1e-3);
        }
      }),
      { numRuns: 900, seed: 20270131 },
    );
    expect(counts.smooth).toBeGreaterThan(100);
    expect(counts.linear).toBeGreaterThan(40);
    expect(counts.none).toBeGreaterThan(10);
  });
});
