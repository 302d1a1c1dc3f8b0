import fc from 'fast-check';
import { LogicEngine } from 'json-logic-engine';
import jsonLogic, { type RulesLogic } from 'json-logic-js';
import { describe, expect, test } from 'vitest';
import {
  compile,
  evaluate,
  lower,
  namesIn,
  type Read,
  scopeOf,
  type Type,
  type TypedTruth,
  typeExpression,
  type Value,
} from '../../packages/engine/src/logic/index.ts';
import { type Kind, parseQuantity, Rational } from '../../packages/engine/src/quantity/index.ts';

const amountType = (kind: Kind): Type => ({ type: 'amount', kind });
const variants = ['marram-three', 'marram-four'];
const scope = scopeOf([
  ['a', amountType('length')],
  ['b', amountType('length')],
  ['c', amountType('length')],
  ['p', { type: 'truth' }],
  ['q', { type: 'truth' }],
  ['v', { type: 'text', among: variants }],
]);

/** One expression twice: as a pack writes it, and as plain JSON Logic over numbers (of millimetres). */
interface Twin {
  readonly pack: unknown;
  readonly plain: unknown;
}

const operator = (key: string, operands: readonly Twin[]): Twin => ({
  pack: { [key]: operands.map(({ pack }) => pack) },
  plain: { [key]: operands.map(({ plain }) => plain) },
});
const plus = (operands: readonly unknown[]): unknown => ({ '+': operands });

/** Divisors are powers of two and all numbers small, so that doubles are exact as well. */
function expressions(withShares: boolean): fc.Arbitrary<Twin> {
  const name = (...names: readonly string[]) =>
    fc.constantFrom(...names).map((one): Twin => ({ pack: { var: one }, plain: { var: one } }));
  const few = (arbitrary: fc.Arbitrary<Twin>, least = 1) =>
    fc.array(arbitrary, { minLength: least, maxLength: 3 });
  const two = (arbitrary: fc.Arbitrary<Twin>) => fc.tuple(arbitrary, arbitrary);

  const { truth } = fc.letrec<{ length: Twin; truth: Twin }>((tie) => {
    const length = tie('length');
    const truth = tie('truth');
    const share = fc.tuple(two(length), fc.constantFrom('0', '0.5', '1')).map(
      ([[of, whole], limit]): Twin => ({
        // Now and then a division by zero, but none that is written down.
        pack: { '<=': [limit, { share: { of: of.pack, in: { '-': [whole.pack, { var: 'c' }] } } }] },
        plain: undefined,
      }),
    );
    return {
      length: fc.oneof(
        { maxDepth: 4, depthIdentifier: 'depth' },
        name('a', 'b', 'c'),
        fc.integer({ min: -3, max: 3 }).map((n): Twin => ({ pack: `${n} mm`, plain: n })),
        fc.tuple(fc.constantFrom('+', '-'), two(length)).map(([key, operands]) => operator(key, operands)),
        length.map((operand) => operator('-', [operand])),
        fc
          .tuple(length, fc.integer({ min: -3, max: 3 }))
          .map(
            ([one, n]): Twin => ({ pack: { '*': [String(n), one.pack] }, plain: { '*': [n, one.plain] } }),
          ),
        fc
          .tuple(length, fc.constantFrom(1, 2, 4))
          .map(([one, n]): Twin => ({ pack: { '/': [one.pack, n] }, plain: { '/': [one.plain, n] } })),
        fc
          .tuple(fc.constantFrom('min', 'max'), few(length))
          .map(([key, operands]) => operator(key, operands)),
        fc.tuple(truth, two(length)).map(([condition, branches]) => operator('if', [condition, ...branches])),
        two(length).map(
          ([one, other]): Twin => ({
            pack: { difference: [one.pack, other.pack] },
            plain: { '-': [one.plain, other.plain] },
          }),
        ),
        two(length).map(
          ([from, to]): Twin => ({
            pack: { change: { from: from.pack, to: to.pack } },
            plain: { '-': [to.plain, from.plain] },
          }),
        ),
        few(length).map((operands): Twin => {
          const plain = operands.map((operand) => operand.plain);
          return {
            pack: { spread: operands.map((operand) => operand.pack) },
            plain: { '-': [{ max: plain }, { min: plain }] },
          };
        }),
        fc.tuple(fc.constantFrom('lowest', 'highest'), few(length)).map(
          ([key, operands]): Twin => ({
            pack: { [key]: operands.map((operand) => operand.pack) },
            plain: { [key === 'lowest' ? 'min' : 'max']: operands.map((operand) => operand.plain) },
          }),
        ),
        two(length).map(
          (operands): Twin => ({
            pack: { mean: operands.map((operand) => operand.pack) },
            plain: { '/': [plus(operands.map((operand) => operand.plain)), 2] },
          }),
        ),
      ),
      truth: fc.oneof(
        { maxDepth: 4, depthIdentifier: 'depth' },
        name('p', 'q'),
        fc
          .tuple(fc.constantFrom('==', '!=', '<', '<=', '>', '>='), two(length))
          .map(([key, operands]) => operator(key, operands)),
        fc
          .tuple(fc.constantFrom('<', '<='), length, length, length)
          .map(([key, ...operands]) => operator(key, operands)),
        fc
          .tuple(fc.constantFrom('and', 'or'), few(truth, 1))
          .map(([key, operands]) => operator(key, operands)),
        truth.map((operand) => operator('!', [operand])),
        fc.tuple(truth, truth, truth).map((operands) => operator('if', operands)),
        fc.tuple(fc.constantFrom('==', '!='), fc.constantFrom(...variants)).map(([key, variant]): Twin => {
          const both = { [key]: [{ var: 'v' }, variant] };
          return { pack: both, plain: both };
        }),
        fc.subarray(variants, { minLength: 1 }).map((among): Twin => {
          const both = { in: [{ var: 'v' }, among] };
          return { pack: both, plain: both };
        }),
        ...(withShares ? [share] : []),
      ),
    };
  });
  return truth;
}

type Raw = Readonly<Record<string, number | boolean | string>>;
const domains: Readonly<Record<string, readonly (number | boolean | string)[]>> = {
  a: [-1, 0, 2],
  b: [-2, 0, 1],
  c: [0, 1],
  p: [true, false],
  q: [true, false],
  v: variants,
};
const names = Object.keys(domains);

function rawRecords(requiredKeys: boolean): fc.Arbitrary<Raw> {
  const small = fc.integer({ min: -4, max: 4 });
  const model = {
    a: small,
    b: small,
    c: small,
    p: fc.boolean(),
    q: fc.boolean(),
    v: fc.constantFrom(...variants),
  };
  return requiredKeys ? fc.record(model) : fc.record(model, { requiredKeys: [] });
}

/** Every record that adds something for all that this one lacks. */
function completions(record: Raw, over: readonly string[] = names): readonly Raw[] {
  const lacking = over.find((name) => !Object.hasOwn(record, name));
  if (lacking === undefined) return [record];
  return (domains[lacking] ?? []).flatMap((value) => completions({ ...record, [lacking]: value }, over));
}

function reader(record: Raw): Read {
  return (name): Value | undefined => {
    const raw = Object.hasOwn(record, name) ? record[name] : undefined;
    return typeof raw === 'number' ? { kind: 'length', value: Rational.of(raw) } : raw;
  };
}

function typed({ pack }: Twin): TypedTruth {
  const result = typeExpression(pack, scope, { type: 'truth' });
  if (!result.ok) throw new Error(JSON.stringify(result.faults));
  return result.expression;
}

describe('random conditions', () => {
  test('with every value there, the answer is that of json-logic-js and of json-logic-engine', () => {
    const engine = new LogicEngine();
    const seen = { true: 0, false: 0 };
    fc.assert(
      fc.property(expressions(false), rawRecords(true), (twin, record) => {
        const { truth, missing } = evaluate(lower(typed(twin)), reader(record));
        expect(missing).toEqual([]);
        expect(truth).toBe(jsonLogic.apply(twin.plain as RulesLogic, record));
        expect(truth).toBe(engine.run(twin.plain, record));
        seen[truth ? 'true' : 'false'] += 1;
      }),
      { numRuns: 600 },
    );
    expect(Math.min(seen.true, seen.false)).toBeGreaterThan(100);
  });

  test('the compiled form gives the same answer, and names the same as missing', () => {
    let open = 0;
    fc.assert(
      fc.property(expressions(true), rawRecords(false), (twin, record) => {
        const condition = typed(twin);
        const { explanation, ...answer } = evaluate(lower(condition), reader(record));
        expect(compile(condition)(reader(record))).toEqual(answer);
        if (answer.truth === undefined) open += 1;
        expect(answer.truth === undefined).toBe(answer.lacks.length > 0);
        expect(explanation.outcome.outcome).toBe(answer.truth === undefined ? 'unknown' : 'truth');
        for (const name of answer.missing) {
          expect(namesIn(condition)).toContain(name);
          expect(Object.hasOwn(record, name)).toBe(false);
        }
      }),
      { numRuns: 600 },
    );
    expect(open).toBeGreaterThan(50);
  });

  test('a truth that is known with something missing is the same whatever that turns out to be', () => {
    let settled = 0;
    const joined = fc
      .tuple(fc.constantFrom('and', 'or'), fc.array(expressions(true), { minLength: 2, maxLength: 4 }))
      .map(([key, operands]) => operator(key, operands));
    fc.assert(
      fc.property(joined, rawRecords(false), (twin, record) => {
        const condition = typed(twin);
        const lowered = lower(condition);
        const { truth } = evaluate(lowered, reader(record));
        const read = namesIn(condition);
        const whole = completions(record, read);
        if (truth === undefined || whole.length === 1) return;
        settled += 1;
        for (const completion of whole) expect(compile(condition)(reader(completion)).truth).toBe(truth);
      }),
      { numRuns: 600 },
    );
    expect(settled).toBeGreaterThan(50);
  });

  test('what is recorded later never turns a known truth', () => {
    fc.assert(
      fc.property(expressions(true), rawRecords(true), fc.subarray(names), (twin, record, known) => {
        const condition = compile(typed(twin));
        const early = condition(
          reader(Object.fromEntries(Object.entries(record).filter(([name]) => known.includes(name)))),
        );
        if (early.truth !== undefined) expect(condition(reader(record)).truth).toBe(early.truth);
      }),
      { numRuns: 400 },
    );
  });
});

describe('random readings at a limit', () => {
  const inHundredths = (n: number): string => {
    const digits = String(Math.abs(n)).padStart(3, '0');
    return `${n < 0 ? '-' : ''}${digits.slice(0, -2)}.${digits.slice(-2)}`;
  };
  const hundredths = fc.integer({ min: 0, max: 10_000 });
  const scopeOfTwo = scopeOf([
    ['shut', amountType('length')],
    ['open', amountType('length')],
  ]);

  test('a difference against a limit, as whole hundredths have it', () => {
    let doublesWrong = 0;
    fc.assert(
      fc.property(hundredths, hundredths, fc.integer({ min: -1, max: 1 }), (open, shut, off) => {
        const limit = open - shut + off;
        const rule = { '<=': [{ change: { from: 'shut', to: 'open' } }, `${inHundredths(limit)} mm`] };
        const result = typeExpression(rule, scopeOfTwo, { type: 'truth' });
        if (!result.ok) throw new Error(JSON.stringify(result.faults));
        const texts: Readonly<Record<string, string>> = {
          shut: `${inHundredths(shut)} mm`,
          open: `${inHundredths(open)} mm`,
        };
        const read: Read = (name) => {
          const parsed = parseQuantity(texts[name] ?? '', 'length');
          return 'quantity' in parsed ? parsed.quantity : undefined;
        };
        expect(evaluate(lower(result.expression), read).truth).toBe(open - shut <= limit);
        expect(compile(result.expression)(read).truth).toBe(open - shut <= limit);
        const doubles =
          Number(inHundredths(open)) - Number(inHundredths(shut)) <= Number(inHundredths(limit));
        if (doubles !== open - shut <= limit) doublesWrong += 1;
      }),
      { numRuns: 500 },
    );
    expect(doublesWrong).toBeGreaterThan(10);
  });
});

describe('anything at all', () => {
  const key = fc.oneof(
    fc.constantFrom(
      'var',
      'and',
      'or',
      '!',
      'if',
      '==',
      '<',
      '<=',
      '>',
      '+',
      '-',
      '*',
      '/',
      'min',
      'in',
      'all',
      '__proto__',
    ),
    fc.constantFrom('difference', 'change', 'spread', 'share', 'lowest', 'mean', 'log', 'from', 'to', 'of'),
    fc.string({ maxLength: 5 }),
  );
  const leaf = fc.oneof(
    fc.constantFrom('a', 'p', 'v', '5 mm', '1', '', 'marram-four', '__proto__', 'constructor'),
    fc.constantFrom<unknown>(0, 1, -0, 1.5, Number.NaN, null, true, false, undefined),
  );
  const { json } = fc.letrec<{ json: unknown }>((tie) => ({
    json: fc.oneof(
      { maxDepth: 5, depthIdentifier: 'json' },
      leaf,
      fc.array(tie('json'), { maxLength: 3 }),
      fc
        .tuple(key, fc.array(tie('json'), { maxLength: 3 }))
        .map(([operator, operands]) => ({ [operator]: operands })),
      fc.tuple(key, tie('json')).map(([operator, operand]) => ({ [operator]: operand })),
      fc.dictionary(key, tie('json'), { maxKeys: 2 }),
    ),
  }));

  /** The value at an RFC 6901 pointer; throws if there is none. */
  function at(json: unknown, pointer: string): unknown {
    let value = json;
    for (const part of pointer.split('/').slice(1)) {
      const key = part.replaceAll('~1', '/').replaceAll('~0', '~');
      if (typeof value !== 'object' || value === null || !Object.hasOwn(value, key)) throw new Error(pointer);
      value = Reflect.get(value, key);
    }
    return value;
  }

  test('is typed or has faults, each at a place that exists, and never throws', () => {
    const seen = { typed: 0, refused: 0 };
    fc.assert(
      fc.property(json, (anything) => {
        const result = typeExpression(anything, scope);
        if (result.ok) {
          seen.typed += 1;
          return;
        }
        seen.refused += 1;
        expect(result.faults.length).toBeGreaterThan(0);
        const places = result.faults.map((fault) => `${fault.code} ${fault.at} ${fault.found}`);
        expect(new Set(places).size).toBe(places.length);
        for (const fault of result.faults) at(anything, fault.at);
      }),
      { numRuns: 3000 },
    );
    expect(Math.min(seen.typed, seen.refused)).toBeGreaterThan(100);
  });
});
