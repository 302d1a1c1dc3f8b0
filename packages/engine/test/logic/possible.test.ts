import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compile, possibleTruths, scopeOf, type TypedTruth, typeExpression } from '../../src/logic/index.ts';
import { Rational } from '../../src/quantity/index.ts';

const names = ['a', 'b', 'c'] as const;
const scope = scopeOf(names.map((name) => [name, { type: 'amount', kind: 'length' }] as const));

function typed(json: unknown): TypedTruth {
  const found = typeExpression(json, scope, { type: 'truth' });
  if (!found.ok) throw new Error(JSON.stringify(found.faults));
  return found.expression as TypedTruth;
}

const less = (a: string, b: string) => ({ '<': [{ var: a }, { var: b }] });
const above = (a: string, limit: string) => ({ '>': [{ var: a }, limit] });

describe('possibleTruths', () => {
  const table: readonly (readonly [json: unknown, recorded: string, expected: string])[] = [
    [above('a', '1 mm'), 'a', 'true false'],
    [above('a', '1 mm'), '', ''],
    [less('a', 'b'), 'a', ''],
    [{ or: [above('a', '1 mm'), above('b', '1 mm')] }, 'a', 'true'],
    [{ and: [above('a', '1 mm'), above('b', '1 mm')] }, 'a', 'false'],
    [{ or: [above('a', '1 mm'), above('b', '1 mm')] }, 'a b', 'true false'],
    [{ '!': above('a', '1 mm') }, 'a', 'true false'],
    [{ '!': { and: [above('a', '1 mm'), above('b', '1 mm')] } }, 'b', 'true'],
    [{ '<': ['0 mm', { var: 'a' }, { var: 'b' }] }, 'a', 'false'],
    [{ if: [above('a', '1 mm'), above('b', '1 mm'), above('c', '1 mm')] }, 'a b', 'true false'],
    [{ if: [above('a', '1 mm'), above('b', '1 mm'), above('c', '1 mm')] }, 'b c', ''],
  ];
  test.each(table)('%j with %s', (json, recorded, expected) => {
    const found = possibleTruths(typed(json), (name) => recorded.split(' ').includes(name));
    const written = [...(found.true ? ['true'] : []), ...(found.false ? ['false'] : [])].join(' ');
    expect(written).toBe(expected);
  });

  test('whatever a condition comes to was possible', () => {
    const leaf = fc.oneof(
      fc.tuple(fc.constantFrom(...names), fc.constantFrom(...names)).map(([a, b]) => less(a, b)),
      fc
        .tuple(fc.constantFrom(...names), fc.constantFrom('0 mm', '1 mm'))
        .map(([a, limit]) => above(a, limit)),
    );
    const { expression } = fc.letrec((tie) => ({
      expression: fc.oneof(
        { depthSize: 'small' },
        leaf,
        fc.array(tie('expression'), { minLength: 1, maxLength: 3 }).map((and) => ({ and })),
        fc.array(tie('expression'), { minLength: 1, maxLength: 3 }).map((or) => ({ or })),
        tie('expression').map((one) => ({ '!': one })),
        fc.tuple(tie('expression'), tie('expression'), tie('expression')).map((three) => ({ if: three })),
      ),
    }));
    const value = fc.option(fc.integer({ min: -1, max: 2 }), { nil: undefined });
    fc.assert(
      fc.property(expression, fc.record({ a: value, b: value, c: value }), (json, values) => {
        const condition = typed(json);
        const read = (name: string) => {
          const number = values[name as (typeof names)[number]];
          return number === undefined ? undefined : ({ kind: 'length', value: Rational.of(number) } as const);
        };
        const { truth } = compile(condition)(read);
        const possible = possibleTruths(condition, (name) => read(name) !== undefined);
        if (truth !== undefined) expect(truth ? possible.true : possible.false).toBe(true);
      }),
      { numRuns: 1000 },
    );
  });
});
