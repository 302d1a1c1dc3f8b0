import { canonical } from '@ferrule/signing';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('what canonical JSON refuses', () => {
  const loop = (): unknown => undefined;
  const cases: readonly (readonly [string, unknown])[] = [
    ['undefined', undefined],
    ['a member that is undefined', { a: undefined }],
    ['a hole in an array', new Array<number>(2)],
    ['NaN', [Number.NaN]],
    ['Infinity', { a: Number.POSITIVE_INFINITY }],
    ['-Infinity', Number.NEGATIVE_INFINITY],
    ['a bigint', 1n],
    ['a function', loop],
    ['a symbol', Symbol('s')],
    ['a Date', new Date(0)],
    ['a Map', new Map([['a', 1]])],
    ['boxed text', Object('text')],
    ['a high surrogate alone', 'a\ud800'],
    ['a low surrogate alone', ['\udc00b']],
    ['surrogates in the wrong order', '\udc00\ud800'],
    ['a lone surrogate in a key', { '\ud800': 1 }],
  ];
  it.each(cases)('%s', (_, value) => {
    expect(() => canonical(value)).toThrow(TypeError);
  });
  it('says where', () => {
    expect(() => canonical({ steps: [1, Number.NaN] })).toThrow('$/steps/1');
  });
});

describe('what canonical JSON keeps', () => {
  it.each([
    ['a whole surrogate pair', '\ud83d\ude02', '"\ud83d\ude02"'],
    ['an own key __proto__', JSON.parse('{"b":1,"__proto__":{"a":2}}'), '{"__proto__":{"a":2},"b":1}'],
    ['an object without a prototype', Object.assign(Object.create(null), { b: 1, a: 2 }), '{"a":2,"b":1}'],
    ['keys that look like numbers, by code unit', { 10: 1, 9: 2 }, '{"10":1,"9":2}'],
  ])('%s', (_, value, text) => {
    expect(canonical(value)).toBe(text);
  });

  it('reads back as the same value, and does not depend on the order of members', () => {
    const reversed = (value: unknown): unknown =>
      Array.isArray(value)
        ? value.map(reversed)
        : typeof value === 'object' && value !== null
          ? Object.fromEntries(
              Object.entries(value)
                .reverse()
                .map(([key, item]) => [key, reversed(item)]),
            )
          : value;
    fc.assert(
      fc.property(fc.jsonValue({ stringUnit: 'binary' }), (value) => {
        const text = canonical(value);
        // JSON text has no negative zero of its own here: RFC 8785 writes it as 0.
        expect(canonical(JSON.parse(text))).toBe(text);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
        expect(canonical(reversed(value))).toBe(text);
      }),
      { numRuns: 300 },
    );
  });
});
