import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Fact, FactBody } from '@ferrule/engine';
import { folderStore, type JobStore, type JobVerification, jobPath } from '@ferrule/records';
import { canonical, digestOf, makeKeyPair, type PrivateKey, parsePrivateKey } from '@ferrule/signing';
import { beforeEach, describe, expect, it } from 'vitest';
import { bundle, fact, header, note, scratch, started } from './a-job.ts';

function newKey(): PrivateKey {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  return key;
}

const closed: FactBody = { kind: 'closed', finished: true };
const AT = '2026-03-02T17:00:00+01:00';
let folder = '';
let store: JobStore;
beforeEach(() => {
  folder = scratch();
  store = folderStore(folder);
});
const path = (): string => jobPath(folder, header.job);

/** A job of seven facts in five lines: 1, 2, 3 and 4, 5 and 6, 7. */
function keep(): void {
  store.create(header, bundle, [fact(1, started)]);
  store.append(header.job, [note(2)], 1);
  store.append(header.job, [note(3), note(4)], 2);
  store.append(header.job, [note(5), note(6)], 4);
  store.append(header.job, [fact(7, closed)], 6);
}

type Stored = Record<string, unknown> & { seq: number };
type Lines = { facts: Stored[]; last: string }[];

/** Writes the file with other batches: as they are, or with every number and link made anew. */
function rewrite(change: (lines: Lines) => Lines | undefined, isMadeAnew: boolean): void {
  const [first = '', ...rest] = readFileSync(path(), 'utf8').split('\n').slice(0, -1);
  const lines: Lines = rest.map((line) => JSON.parse(line));
  const changed = (change(lines) ?? lines).filter((line) => line.facts.length > 0);
  let last = digestOf(first);
  let seq = 0;
  if (isMadeAnew)
    for (const line of changed) {
      for (const one of line.facts) {
        one.seq = ++seq;
        one['before'] = last;
        last = digestOf(canonical(one));
      }
      line.last = last;
    }
  writeFileSync(path(), [first, ...changed.map((line) => canonical(line))].map((one) => `${one}\n`).join(''));
}

const found = ({ findings }: JobVerification): readonly (readonly [string, number | undefined])[] =>
  findings.map(({ code, seq }) => [code, seq]);

const take = (lines: Lines, line: number, place: number): Stored => {
  const [one] = lines[line]?.facts.splice(place, 1) ?? [];
  if (one === undefined) throw new Error('there is no such fact');
  return one;
};
const edit = (lines: Lines, line: number, place: number): void => {
  const one = lines[line]?.facts[place];
  if (one !== undefined) one['fact'] = { kind: 'noted', text: 'something else' };
};
const extra = (): Stored => ({ ...note(99, 'put in'), before: digestOf('x') });

/** What is done to a record, what is found without a signature, and what with one, whether or not it is all made anew. */
const cases: readonly (readonly [
  string,
  (lines: Lines) => Lines | undefined,
  { readonly plain: readonly unknown[]; readonly signed: readonly unknown[] },
])[] = [
  [
    'a fact changed',
    (lines) => void edit(lines, 2, 0),
    { plain: [['fact-changed', 3]], signed: [['fact-changed', 3]] },
  ],
  [
    'the first fact changed',
    (lines) => void edit(lines, 0, 0),
    { plain: [['fact-changed', 1]], signed: [['fact-changed', 1]] },
  ],
  [
    'two facts changed, the last of a line and the last of all',
    (lines) => {
      edit(lines, 2, 1);
      edit(lines, 4, 0);
      return undefined;
    },
    {
      plain: [
        ['fact-changed', 4],
        ['fact-changed', 7],
      ],
      signed: [
        ['fact-changed', 4],
        ['fact-changed', 7],
      ],
    },
  ],
  [
    'a line taken away',
    (lines) => lines.toSpliced(2, 1),
    { plain: [['fact-missing', 3]], signed: [['fact-missing', 3]] },
  ],
  [
    'a fact taken away inside a line',
    (lines) => void take(lines, 3, 0),
    { plain: [['fact-missing', 5]], signed: [['fact-missing', 5]] },
  ],
  [
    'a fact put in',
    (lines) => void lines[2]?.facts.splice(1, 0, { ...extra(), seq: 3 }),
    { plain: [['fact-added', 3]], signed: [['fact-added', expect.any(Number)]] },
  ],
  [
    'two lines changed about',
    (lines) => {
      const [a, b, c, ...rest] = lines;
      return a && b && c ? [a, c, b, ...rest] : undefined;
    },
    { plain: [['fact-moved', 2]], signed: [['fact-moved', 2]] },
  ],
  [
    'a fact moved to the end',
    (lines) => {
      const one = take(lines, 2, 0);
      lines[4]?.facts.push(one);
      return undefined;
    },
    { plain: expect.arrayContaining([['fact-moved', 3]]) as never, signed: [['fact-moved', 3]] },
  ],
  ['the tail dropped', (lines) => lines.slice(0, 3), { plain: [], signed: [['tail-dropped', 5]] }],
];

describe('a record that something was done to', () => {
  it.each(cases)('%s: is named from its own digests', (_, change, { plain }) => {
    keep();
    rewrite(change, false);
    const verified = store.verify(header.job);
    expect(found(verified)).toEqual(plain);
    expect(verified.isSound).toBe(verified.findings.length === 0);
    expect(verified.notes.join(' ')).toContain('it cannot be seen whether facts at the end were cut off');
  });

  it.each(cases)('%s: is named from the signature', (_, change, { signed }) => {
    keep();
    const key = newKey();
    expect(store.sign(header.job, key, 'lead C', AT)).toHaveProperty('signature');
    rewrite(change, false);
    const verified = store.verify(header.job, { keys: [key.publicKey] });
    expect(found(verified)).toEqual(signed);
    expect(verified.notes.join(' ')).not.toContain('cannot be seen');
  });

  it.each(cases)('%s: is named from the signature, though all was computed anew', (_, change, { signed }) => {
    keep();
    const key = newKey();
    store.sign(header.job, key, 'lead C', AT);
    rewrite(change, true);
    // Nothing in the file itself is wrong now.
    expect(store.read(header.job)).toHaveProperty('facts');
    expect(found(store.verify(header.job, { keys: [key.publicKey] }))).toEqual(signed);
    rmSync(join(folder, `${header.job}.signature.json`));
    expect(store.verify(header.job)).toMatchObject({ isSound: true, findings: [] });
  });

  it('is told apart by the digest that was printed, where there is no signature', () => {
    keep();
    const { last } = store.verify(header.job);
    if (last === undefined) throw new Error('it has an end');
    expect(store.verify(header.job, { expect: last })).toMatchObject({ isSound: true });
    expect(store.verify(header.job, { expect: last }).notes.join(' ')).not.toContain('cannot be seen');
    store.append(header.job, [note(8)], 7);
    expect(store.verify(header.job, { expect: last }).notes.join(' ')).toContain(
      'one fact was added behind it',
    );
    rewrite((lines) => lines.slice(0, 3), false);
    expect(found(store.verify(header.job, { expect: last }))).toEqual([['other-end', undefined]]);
  });

  it('names what is no line of a record, and goes on behind it', () => {
    keep();
    const lines = readFileSync(path(), 'utf8').split('\n');
    const spoilt = [
      ...lines.slice(0, 2),
      'by hand',
      '{"facts":[7],"last":""}',
      ...lines.slice(2, 4),
      ` ${lines[4]}`,
    ];
    writeFileSync(path(), [...spoilt, ...lines.slice(5)].join('\n'));
    expect(store.verify(header.job).findings.map(({ code, line }) => [code, line])).toEqual([
      ['unreadable', 3],
      ['unreadable', 4],
      ['not-canonical', 7],
    ]);
  });

  it('names a first line that was changed', () => {
    keep();
    const text = readFileSync(path(), 'utf8');
    writeFileSync(path(), text.replace('"variant":"four"', '"variant":"five"'));
    expect(found(store.verify(header.job))).toEqual([['header-changed', undefined]]);
    writeFileSync(path(), '');
    expect(found(store.verify(header.job))).toEqual([['unreadable', undefined]]);
  });
});

describe('a signature', () => {
  it('is made of a closed job only, and a second key signs the same', () => {
    store.create(header, bundle, [fact(1, started)]);
    const [one, other] = [newKey(), newKey()];
    expect(store.sign(header.job, one, 'lead C', AT)).toMatchObject({ refused: 'not-closed' });
    store.append(header.job, [fact(2, closed)], 1);
    expect(store.verify(header.job)).toMatchObject({ isSound: true, facts: 2, state: 'closed' });
    store.sign(header.job, one, 'lead C', AT);
    expect(store.list().jobs).toMatchObject([{ signed: true }]);
    store.sign(header.job, other, 'technician A', '2026-03-02T18:00:00+01:00');
    for (const keys of [[one], [other], [one, other]]) {
      const verified = store.verify(header.job, { keys: keys.map((key) => key.publicKey) });
      expect(verified).toMatchObject({
        isSound: true,
        signature: { signedBy: keys.map((key) => key.id), isKnown: true, by: 'lead C', at: AT },
      });
    }
  });

  it('with a key that does not count is named, and still shows what was changed', () => {
    keep();
    const key = newKey();
    store.sign(header.job, key, 'lead C', AT);
    expect(found(store.verify(header.job, { keys: [newKey().publicKey] }))).toEqual([
      ['wrong-key', undefined],
    ]);
    rewrite((lines) => void edit(lines, 1, 0), true);
    expect(found(store.verify(header.job, { keys: [newKey().publicKey] }))).toEqual([
      ['wrong-key', undefined],
      ['fact-changed', 2],
    ]);
  });

  it('that was changed, is of another job, or of none, is no signature', () => {
    keep();
    const key = newKey();
    store.sign(header.job, key, 'lead C', AT);
    const file = join(folder, `${header.job}.signature.json`);
    const text = readFileSync(file, 'utf8');
    for (const spoilt of ['{}', text.slice(0, -9), text.replace(/"sig":"..../, '"sig":"AAAA')]) {
      writeFileSync(file, spoilt);
      expect(found(store.verify(header.job))).toEqual([['signature-broken', undefined]]);
      expect(store.sign(header.job, key, 'lead C', AT)).toMatchObject({ refused: 'signature-broken' });
    }
    store.create({ ...header, job: 'other' }, bundle, [fact(1, started), fact(2, closed)]);
    store.sign('other', key, 'lead C', AT);
    writeFileSync(file, readFileSync(join(folder, 'other.signature.json')));
    expect(found(store.verify(header.job))).toEqual([['other-job', undefined]]);
  });

  it('that is missing is named where keys count, and said where none do', () => {
    keep();
    expect(found(store.verify(header.job, { keys: [newKey().publicKey] }))).toEqual([
      ['signature-missing', undefined],
    ]);
    expect(store.verify(header.job).notes.join(' ')).toContain('not signed');
  });

  it('covers what was asked for, and the numbers', () => {
    const asked = digestOf('a command');
    store.create(header, bundle, [fact(1, started)], digestOf('a start'));
    store.append(header.job, [fact(2, closed)], 1, asked);
    const key = newKey();
    store.sign(header.job, key, 'lead C', AT);
    expect(store.verify(header.job, { keys: [key.publicKey] })).toMatchObject({ isSound: true });
    rewrite((lines) => {
      const one = lines[1]?.facts[0];
      if (one !== undefined) one['asked'] = digestOf('another command');
      return undefined;
    }, true);
    expect(found(store.verify(header.job, { keys: [key.publicKey] }))).toEqual([['fact-changed', 2]]);
  });
});

describe('what is kept beside a record', () => {
  const picture = Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex');

  it('is held against the digests by which facts name it', () => {
    const put = store.putPhotograph(picture);
    if (put.refused !== undefined) throw new Error(put.message);
    const shown: Fact = fact(2, {
      kind: 'done',
      step: 'look',
      photograph: { digest: put.digest, name: 'bead.png' },
    });
    store.create(header, bundle, [fact(1, started), shown]);
    expect(store.verify(header.job)).toMatchObject({ isSound: true });
    const file = join(folder, 'photographs', put.digest.slice(7));
    writeFileSync(file, 'another picture');
    const kept = join(folder, 'packs', `${header.pack.digest.slice(7)}.json`);
    writeFileSync(kept, '{}');
    expect(found(store.verify(header.job))).toEqual([
      ['pack-changed', undefined],
      ['photograph-changed', 2],
    ]);
    expect(store.bundle(header.pack.digest)).toBeUndefined();
    rmSync(file);
    rmSync(kept);
    expect(store.verify(header.job)).toMatchObject({
      isSound: true,
      notes: expect.arrayContaining(['The photograph of fact 2 is not kept with it.']),
    });
  });

  it('is a picture, by its first bytes, and not too large', () => {
    const jpeg = Buffer.from('ffd8ffe000104a464946', 'hex');
    const webp = Buffer.from('RIFF\x10\x00\x00\x00WEBPVP8 ', 'latin1');
    expect(store.putPhotograph(jpeg)).toMatchObject({ mediaType: 'image/jpeg' });
    expect(store.putPhotograph(webp)).toMatchObject({ mediaType: 'image/webp' });
    const put = store.putPhotograph(picture);
    expect(put).toEqual({ digest: digestOf(picture), mediaType: 'image/png' });
    expect(store.putPhotograph(picture)).toEqual(put);
    expect(store.photograph(digestOf(picture))).toEqual({ bytes: picture, mediaType: 'image/png' });
    for (const text of ['<svg/>', 'GIF89a', 'RIFF....WAVE', ''])
      expect(store.putPhotograph(Buffer.from(text))).toMatchObject({ refused: 'no-picture' });
    const large = Buffer.concat([picture, Buffer.alloc(20_000_000)]);
    expect(store.putPhotograph(large)).toMatchObject({ refused: 'too-large' });
    for (const name of ['sha256:../../x', '../x', `sha256:${'A'.repeat(64)}`, ''])
      expect(store.photograph(name)).toBeUndefined();
  });
});
