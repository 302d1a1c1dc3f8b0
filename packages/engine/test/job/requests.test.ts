import { describe, expect, test } from 'vitest';
import { type Command, type Decided, decide, type StartRequest, start } from '../../src/index.ts';
import { length, packOf, planOf } from '../small-pack.ts';
import { Bench, lead, request, second, technician } from './bench.ts';

const document = packOf({
  readings: { gap: length() },
  steps: [
    { step: 'both', do: 'x', 'together-with': 'second' },
    { step: 'measure', read: 'gap' },
  ],
});
const occasion = { at: '2027-01-04T08:00:00Z', by: technician, id: 'x' };
const codes = (answer: Decided): readonly string[] => (answer.refusals ?? []).map((one) => one.code);
/** As it comes from a caller without types. */
const untyped = (json: string): Command => JSON.parse(json);

describe('a command of a caller without types', () => {
  test.each([
    ['{"command":"dance"}', 'not-offered'],
    ['{"command":"toString"}', 'not-offered'],
    ['{"command":"__proto__"}', 'not-offered'],
    ['{"command":["note"]}', 'not-offered'],
    ['{}', 'not-offered'],
    ['null', 'not-offered'],
    ['[]', 'not-offered'],
    ['"note"', 'not-offered'],
    ['{"command":"note"}', 'wrong-shape'],
    ['{"command":"note","text":5}', 'wrong-shape'],
    ['{"command":"record","entry":"gap","value":1.5}', 'wrong-shape'],
    ['{"command":"record","entry":"gap","value":null}', 'wrong-shape'],
    ['{"command":"record","entry":"gap","value":"1","insist":"yes"}', 'wrong-shape'],
    ['{"command":"done","step":"both","together":{}}', 'wrong-shape'],
    ['{"command":"done","step":"both","photograph":"a.jpg"}', 'wrong-shape'],
    ['{"command":"release","by":"magic","reason":"x"}', 'wrong-shape'],
    ['{"command":"strike","target":"1","reason":"x"}', 'wrong-shape'],
    ['{"command":"equip"}', 'wrong-shape'],
    ['{"command":"equip","instrument":{"kind":"a","identity":5}}', 'wrong-shape'],
    ['{"command":"resume","confirmed":"cold"}', 'wrong-shape'],
    ['{"command":"join","role":"lead","person":7}', 'wrong-shape'],
  ] as const)('%s is refused as %s', (json, code) => {
    new Bench(document).refuses(untyped(json), code);
  });

  test('an occasion without a person', () => {
    const { plan, job } = new Bench(document);
    const nobody = JSON.parse('{"at":"2027-01-04T08:00:00Z","id":"x"}');
    expect(codes(decide(plan, job, { command: 'note', text: 'n' }, nobody))).toEqual(['wrong-shape']);
  });

  test.each(['{}', 'null', '{"bundle":"b","persons":[{"role":"lead"}],"instruments":[]}'])(
    'a start with %s',
    (json) => {
      const asked: StartRequest = JSON.parse(json);
      expect(codes(start(planOf(document), asked, occasion))).toEqual(['wrong-shape']);
    },
  );
});

describe('names of persons', () => {
  const withName = (person: string): Decided =>
    start(
      planOf(document),
      { ...request, persons: [...request.persons, { role: 'lead', person }] },
      occasion,
    );

  // Code points by the Unicode character database: zero width space, joiner, right-to-left override, isolate, soft
  // hyphen, byte order mark, Hangul filler, braille blank, variation selector, tag, line separator; from memory.
  test.each([
    '200b',
    '200d',
    '202e',
    '2066',
    'ad',
    'feff',
    '3164',
    '2800',
    'fe0f',
    'e0041',
    '2028',
    '0',
    '1b',
    '9',
  ])('a sign that cannot be seen, U+%s, is refused', (hex) => {
    const person = `tech${String.fromCodePoint(Number.parseInt(hex, 16))}nician A`;
    expect(codes(withName(person))).toEqual(['wrong-shape']);
    new Bench(document).refuses({ command: 'join', role: 'lead', person }, 'wrong-shape');
  });

  test('of half a character is taken nowhere', () => {
    expect(codes(withName('technician \ud83d'))).toEqual(['wrong-shape']);
    const bench = new Bench(document);
    bench.refuses({ command: 'note', text: 'cut in two: \ud83d' }, 'wrong-shape');
    bench.does({ command: 'note', text: 'whole: \u{1f527}' });
  });

  test('of a hundred characters is taken, a longer or an empty one is not', () => {
    expect(codes(withName('a'.repeat(100)))).toEqual([]);
    expect(codes(withName('a'.repeat(101)))).toEqual(['too-long']);
    expect(codes(withName('  '))).toEqual(['empty']);
  });

  test('that look the same are the same', () => {
    const bench = new Bench(document, {
      persons: [
        { role: 'technician', person: ` ${technician}` },
        { role: 'lead', person: 'Ren\u00e9 \u00a0B' },
        { role: 'second', person: second },
      ],
    });
    expect(bench.job.persons.map((one) => one.person)).toEqual([technician, 'Ren\u00e9 B', second]);
    bench.does({ command: 'note', text: 'n' }, { by: 'Rene\u0301 B' });
    expect(bench.facts.at(-1)?.by).toBe('Ren\u00e9 B');
    bench.refuses({ command: 'done', step: 'both', together: `${technician} ` }, 'same-person');
    bench.does({ command: 'done', step: 'both', together: ` ${second}` });
    expect(bench.facts.at(-1)?.fact).toMatchObject({ together: second });
    expect(codes(withName(lead))).toEqual([]);
  });
});
