import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { AlikeLines, folderStore, jobPath } from '@ferrule/records';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readJobBytes } from '../src/read-job.ts';
import { bundle, fact, header, note, scratch, started } from './a-job.ts';

const facts = [
  fact(1, started),
  fact(2, { kind: 'acknowledged', step: 'safety', hazards: ['stored-pressure'] }),
  fact(3, { kind: 'reading', step: 'a', entry: 'gap', typed: '0,20', digits: '0.20', unit: 'mm' }, 'Zoë'),
  fact(4, {
    ...{ kind: 'judged', step: 'a', of: 'gap-limits' },
    verdict: { verdict: 'conforming', value: '0.20 mm', limits: '0 mm ± 0.3 mm', margin: '0.10 mm' },
  }),
  fact(5, { kind: 'noted', text: 'zwölf µm, "so" \\ {[]} 測定' }, 'B "Bo"'),
  fact(6, { kind: 'reading', step: 'a', entry: 'warmth', typed: '82', digits: '82', unit: '°C' }),
  note(7, ',"format":"1","id":"'),
  fact(8, { kind: 'parked', reason: 'Night.' }, 'Łukasz'),
];
const asked = `sha256:${'0123456789abcdef'.repeat(4)}` as const;

/** A job as the store writes it: batches of one, two and more facts, one with what was asked for. */
const whole = ((): Buffer => {
  const folder = scratch();
  const store = folderStore(folder);
  store.create(header, bundle, facts.slice(0, 2));
  store.append(header.job, facts.slice(2, 4), 2, asked);
  store.append(header.job, facts.slice(4, 5), 4);
  store.append(header.job, facts.slice(5), 5, asked);
  return readFileSync(jobPath(folder, header.job));
})();

const sha256 = (text: string | Buffer): string => `sha256:${createHash('sha256').update(text).digest('hex')}`;

/** The file with the text of one fact changed, and every digest behind it made anew. */
function relinked(place: number, change: (text: string) => string): Buffer {
  const [first = '', ...lines] = whole.toString('utf8').trimEnd().split('\n');
  let last = sha256(first);
  let count = 0;
  const made = lines.map((line) => {
    const [, inner = ''] = /^\{"facts":\[(.*)\],"last":"[^"]*"\}$/.exec(line) ?? [];
    const texts = inner.split(/(?<=\}),(?=\{"a[ts])/).map((text) => {
      const changed = (count++ === place ? change(text) : text).replace(
        /"before":"sha256:[0-9a-f]*"/,
        `"before":"${last}"`,
      );
      last = sha256(changed);
      return changed;
    });
    return `{"facts":[${texts.join(',')}],"last":"${last}"}`;
  });
  return Buffer.from(`${[first, ...made].join('\n')}\n`);
}

/** Read by lines that have not read anything, and by some that have read the job as it was. */
function bothWays(content: Buffer): void {
  const one = readJobBytes(content);
  expect(readJobBytes(content, new AlikeLines())).toEqual(one);
  const known = new AlikeLines();
  readJobBytes(whole, known);
  expect(readJobBytes(content, known)).toEqual(one);
}

describe('lines of many jobs', () => {
  it('reads what a store has written as one job by itself is read, and gives equal bodies as one object', () => {
    bothWays(whole);
    const lines = new AlikeLines();
    const [one, other] = [readJobBytes(whole, lines), readJobBytes(whole, lines)];
    expect(one.facts).toEqual(facts);
    expect(one.facts?.map((each, place) => each.fact === other.facts?.[place]?.fact)).toEqual(
      // A name that is written with a backslash is left to the reader of single jobs.
      facts.map(({ seq }) => seq !== 5),
    );
  });

  it('finds nothing wrong with a file whose digests were only made anew', () => {
    expect(relinked(0, (text) => text).equals(whole)).toBe(true);
  });

  it.each<[string, number, (text: string) => string]>([
    ['white space in a body', 1, (text) => text.replace('"kind":', '"kind": ')],
    ['a member twice', 1, (text) => text.replace('"kind":', '"kind":"done","kind":')],
    ['members in another order', 3, (text) => text.replace(/("kind":"judged"),("of":"gap-limits")/, '$2,$1')],
    ['a member more', 2, (text) => text.replace('"format"', '"foot":1,"format"')],
    ['a member more in the body', 2, (text) => text.replace('"digits"', '"depth":1,"digits"')],
    ['a body without what its kind needs', 2, (text) => text.replace('"unit":"mm"', '"unite":"mm"')],
    ['an unknown kind', 4, (text) => text.replace('"noted"', '"notted"')],
    ['a body that is a list', 4, (text) => text.replace(/"fact":\{.*?\},"format"/, '"fact":[],"format"')],
    [
      'the end of a body inside a body',
      4,
      (text) => text.replace('"kind"', '"a":{"b":1,"format":"1","id":""},"kind"'),
    ],
    ['a control character in a name', 3, (text) => text.replace('technician', 'tech\u0001ician')],
    ['a control character in an id', 4, (text) => text.replace('x.5', 'x.\u00055')],
    ['a time with a backslash', 4, (text) => text.replace('2026-', '\\u0032026-')],
    ['half a character', 4, (text) => text.replace('zwölf', '\\ud800')],
    ['another format', 4, (text) => text.replace('"format":"1"', '"format":"2"')],
    ['another number', 4, (text) => text.replace('"seq":5', '"seq":6')],
    ['a number with a zero', 4, (text) => text.replace('"seq":5', '"seq":05')],
    ['a number with a fraction', 4, (text) => text.replace('"seq":5', '"seq":5.0')],
    ['asked for by something else', 2, (text) => text.replace(/"asked":"sha256:/, '"asked":"sha1:')],
    ['asked for within a batch', 3, (text) => text.replace('{"at"', `{"asked":"${asked}","at"`)],
    ['a link to something else', 4, (text) => text.replace('"before":"sha256:', '"before":"sha512:')],
  ])('says the same of %s', (_, place, change) => {
    const changed = relinked(place, change);
    expect(changed.equals(whole)).toBe(false);
    bothWays(changed);
  });

  it('says the same of any file that was cut off, or has bytes changed, left out or put in', () => {
    for (let cut = 0; cut <= whole.length; cut += 23) bothWays(whole.subarray(0, cut));
    const edits = fc.array(
      fc.record({
        at: fc.nat(whole.length - 1),
        out: fc.nat(3),
        put: fc.constantFrom('', '"', '\\', '{', '}', ',', '0', ' ', '\n', '\u0000', 'ä'),
      }),
      { minLength: 1, maxLength: 2 },
    );
    fc.assert(
      fc.property(edits, (list) => {
        let content = whole;
        for (const { at, out, put } of list)
          content = Buffer.concat([
            content.subarray(0, at),
            Buffer.from(put),
            content.subarray(Math.min(at + out, content.length)),
          ]);
        bothWays(content);
      }),
      { numRuns: 500 },
    );
  });

  it('goes on when more has come by than it remembers', () => {
    const lines = new AlikeLines(400);
    for (let round = 0; round < 3; round++) expect(readJobBytes(whole, lines).facts).toEqual(facts);
  });
});
