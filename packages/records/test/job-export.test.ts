import { appendFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { folderStore, type JobStore, jobPath, verifyExport } from '@ferrule/records';
import { digestOf, makeKeyPair, parsePrivateKey } from '@ferrule/signing';
import { beforeEach, expect, it } from 'vitest';
import { bundle, fact, header, note, scratch, started } from './a-job.ts';

const picture = Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex');
const shown: Fact = fact(2, {
  kind: 'done',
  step: 'look',
  photograph: { digest: digestOf(picture), name: 'bead.png' },
});
const closing = (seq: number): Fact => fact(seq, { kind: 'closed', finished: true });
const job = header.job;

let here: { readonly folder: string; readonly store: JobStore };
let there: typeof here;
beforeEach(() => {
  [here, there] = [scratch(), scratch('ferrule jobs é ')].map((folder) => ({
    folder,
    store: folderStore(folder),
  })) as [typeof here, typeof here];
});

function textOf({ store }: typeof here): string {
  const exported = store.exportJob(job);
  if (exported.refused !== undefined) throw new Error(exported.message);
  return exported.text;
}

function newKey() {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  return key;
}

it('a job goes to another store whole, with pack, photographs and signature', () => {
  here.store.putPhotograph(picture);
  here.store.create(header, bundle, [fact(1, started), shown], digestOf('a start'));
  here.store.append(job, [closing(3)], 2, digestOf('a command'));
  const key = newKey();
  here.store.sign(job, key, 'lead C', '2026-03-02T17:00:00+01:00');
  const text = textOf(here);
  expect(verifyExport(text, { keys: [key.publicKey] })).toMatchObject({
    isSound: true,
    signature: { by: 'lead C' },
  });
  expect(there.store.importJob(text)).toEqual({ imported: job, facts: 3, was: 'new' });
  expect(there.store.importJob(text)).toEqual({ imported: job, facts: 3, was: 'there' });
  expect(there.store.read(job)).toEqual(here.store.read(job));
  expect(there.store.bundle(header.pack.digest)).toBe(bundle);
  expect(there.store.photograph(digestOf(picture))?.bytes).toEqual(picture);
  expect(there.store.signature(job)).toEqual(here.store.signature(job));
  expect(there.store.list()).toEqual(here.store.list());
  expect(textOf(there)).toBe(text);
  expect(there.store.importJob(text, { keys: [newKey().publicKey] })).toMatchObject({
    refused: 'unsound',
    findings: [{ code: 'wrong-key' }],
  });
});

it('a job that was gone on with elsewhere comes back, and an older state of it changes nothing', () => {
  here.store.create(header, bundle, [fact(1, started)]);
  const early = textOf(here);
  there.store.importJob(early);
  there.store.append(job, [note(2)], 1);
  there.store.append(job, [closing(3)], 2);
  there.store.sign(job, newKey(), 'lead C', '2026-03-02T17:00:00+01:00');
  // Here a write was cut off in the meantime.
  appendFileSync(jobPath(here.folder, job), '{"facts":[{"at":');
  expect(here.store.importJob(textOf(there))).toEqual({ imported: job, facts: 3, was: 'continued' });
  expect(here.store.read(job)).toEqual(there.store.read(job));
  expect(here.store.importJob(early)).toEqual({ imported: job, facts: 1, was: 'there' });
  expect(here.store.verify(job)).toMatchObject({ isSound: true, facts: 3, signature: { by: 'lead C' } });
});

it('another history of the same job is refused, and changes nothing', () => {
  here.store.create(header, bundle, [fact(1, started)]);
  there.store.importJob(textOf(here));
  here.store.append(job, [note(2, 'here')], 1);
  there.store.append(job, [note(2, 'there')], 1);
  const before = readFileSync(jobPath(here.folder, job), 'utf8');
  expect(here.store.importJob(textOf(there))).toMatchObject({ refused: 'other-history' });
  expect(readFileSync(jobPath(here.folder, job), 'utf8')).toBe(before);
});

it.each([
  ['no JSON', () => 'by hand', 'no-export'],
  ['another format', (text: string) => text.replace('export-1', 'export-2'), 'no-export'],
  [
    'a name that leads elsewhere',
    (text: string) => text.replace(`"job":"${job}","photo`, '"job":"../x","photo'),
    'no-export',
  ],
  [
    'the name of another job',
    (text: string) => text.replace(`"job":"${job}","photo`, '"job":"other","photo'),
    'unsound',
  ],
  ['a fact changed', (text: string) => text.replace('note 2', 'note Z'), 'unsound'],
  ['another pack', (text: string) => text.replace('"bundle":"{', '"bundle":"{ '), 'unsound'],
  [
    'a picture that nothing asks for',
    (text: string) => text.replace('"photographs":{', `"photographs":{"${digestOf('x')}":"eA=="`),
    'unsound',
  ],
  [
    'a picture under another digest',
    (text: string) => text.replace(/"photographs":\{.*?\}/, `"photographs":{"${digestOf(picture)}":"eA=="}`),
    'unsound',
  ],
  [
    'a signature that is none',
    (text: string) => text.replace('"photographs"', '"signature":{},"photographs"'),
    'no-export',
  ],
] as const)('what does not verify is refused: %s', (_, spoil, refused) => {
  here.store.create(header, bundle, [fact(1, started), note(2)]);
  const text = textOf(here);
  const spoilt = spoil(text);
  expect(spoilt).not.toBe(text);
  expect(there.store.importJob(spoilt)).toMatchObject({ refused });
  expect(there.store.list()).toEqual({ jobs: [], faults: [] });
});

it('what cannot be relied on, or is not there, is not handed on', () => {
  here.store.create(header, bundle, [fact(1, started)]);
  appendFileSync(jobPath(here.folder, job), 'nothing\n');
  expect(here.store.exportJob(job)).toMatchObject({ refused: 'unreadable' });
  expect(here.store.exportJob('none')).toMatchObject({ refused: 'unreadable' });
  expect(() => here.store.exportJob('../x')).toThrow(RangeError);
  writeFileSync(join(there.folder, 'x.jsonl'), '');
  expect(there.store.exportJob('x')).toMatchObject({ refused: 'unreadable' });
});
