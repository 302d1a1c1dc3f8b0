import { chmodSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { makeKeyPair, type PrivateKey, parsePrivateKey } from '@ferrule/signing';
import { expect, test } from 'vitest';
import { Rig } from './rig.ts';

function aKey(): PrivateKey {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  return key;
}

const abandon = { command: 'abandon', reason: 'Another engine first.' };

test('a job that is closed here is signed, and every document that shows it says so', async () => {
  const key = aKey();
  const rig = new Rig({ key });
  const job = await rig.begin();
  const noted = await rig.give(job, 'note-00001', 1, { command: 'note', text: 'Seen.' });
  expect(noted.json).not.toHaveProperty('signature');
  expect((await rig.get(`/jobs/${job}`)).json['signed']).toBe(false);
  rig.clock = new Date('2026-03-02T09:30:00Z');
  const closed = await rig.give(job, 'abandon-01', 2, abandon);
  expect(closed).toMatchObject({
    status: 200,
    json: {
      signature: {
        state: 'signed',
        says: expect.stringMatching(/^The record is signed with the key ed25519:/),
      },
    },
  });
  expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ state: 'abandoned', signed: true });
  expect((await rig.get('/jobs')).json['jobs']).toEqual([expect.objectContaining({ job, signed: true })]);
  const says = expect.stringMatching(/^The record is signed by technician A at 2026-03-02 .*, key ed25519:/);
  expect((await rig.get(`/jobs/${job}/card?form=json`)).json['signature']).toEqual({ state: 'signed', says });
  expect((await rig.get(`/jobs/${job}/card?form=html`)).text).toMatch(/The record is signed by technician A/);
  expect((await rig.get(`/jobs/${job}/verification`)).json).toMatchObject({
    isSound: true,
    signature: { signedBy: [key.id], by: 'technician A' },
  });
  // By what knows the key, and nothing of the server.
  expect(folderStore(rig.folder).verify(job, { keys: [key.publicKey] })).toMatchObject({
    isSound: true,
    signature: { isKnown: true },
  });
  expect(folderStore(rig.folder).verify(job, { keys: [aKey().publicKey] }).isSound).toBe(false);
  expect(rig.notes).toEqual([]);
});

test('the same request again signs nothing anew, also after a restart and where nothing may be written', async () => {
  const key = aKey();
  const rig = new Rig({ key });
  const job = await rig.begin();
  const first = await rig.give(job, 'abandon-01', 1, abandon);
  const file = join(rig.folder, `${job}.signature.json`);
  const before = readFileSync(file, 'utf8');
  chmodSync(file, 0o444);
  for (const server of [rig, new Rig({ key }, rig.folder)])
    expect((await server.give(job, 'abandon-01', 1, abandon)).json).toEqual(first.json);
  expect(readFileSync(file, 'utf8')).toBe(before);
});

test('a signature that cannot be written is told, nothing is lost, and the same request again brings it', async () => {
  const rig = new Rig({ key: aKey() });
  const job = await rig.begin();
  // Something stands where it would be drafted.
  const draft = join(rig.folder, `${job}.signature.json.new`);
  mkdirSync(draft);
  const closed = await rig.give(job, 'abandon-01', 1, abandon);
  expect(closed).toMatchObject({
    status: 200,
    json: { seq: 2, signature: { state: 'unsigned', says: expect.stringContaining('not signed') } },
  });
  expect(closed.text).not.toContain(rig.folder);
  expect(rig.notes).toEqual([expect.stringContaining(`The record of ${job} is not signed. The signature`)]);
  expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ state: 'abandoned', signed: false });
  expect((await rig.get(`/jobs/${job}/card?form=json`)).json['signature']).toMatchObject({
    state: 'unsigned',
  });
  expect(folderStore(rig.folder).read(job).facts).toHaveLength(2);
  rmSync(draft, { recursive: true });
  const again = await rig.give(job, 'abandon-01', 1, abandon);
  expect(again.json).toMatchObject({ seq: 2, signature: { state: 'signed' } });
  expect((await rig.get(`/jobs/${job}/verification`)).json).toMatchObject({ isSound: true });
  expect(rig.defects).toEqual([]);
});

test('a signature that is none of this record is left as it is, and told', async () => {
  const rig = new Rig({ key: aKey() });
  const job = await rig.begin();
  const file = join(rig.folder, `${job}.signature.json`);
  writeFileSync(file, '{}');
  const closed = await rig.give(job, 'abandon-01', 1, abandon);
  expect(closed.json['signature']).toMatchObject({
    state: 'unsigned',
    says: expect.stringContaining('there is a signature already'),
  });
  expect(readFileSync(file, 'utf8')).toBe('{}');
  expect((await rig.get(`/jobs/${job}/card?form=json`)).json['signature']).toMatchObject({ state: 'broken' });
});

test('without a key a closed job stays unsigned, and no answer says anything else', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  expect((await rig.give(job, 'abandon-01', 1, abandon)).json).not.toHaveProperty('signature');
  expect((await rig.get(`/jobs/${job}`)).json['signed']).toBe(false);
  expect((await rig.get(`/jobs/${job}/card?form=json`)).json['signature']).toEqual({
    state: 'unsigned',
    says: 'The record is unsigned.',
  });
});
