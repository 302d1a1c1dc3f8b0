import { appendFileSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import {
  addSignature,
  makeKeyPair,
  type PrivateKey,
  parsePrivateKey,
  readEnvelope,
  releaseFile,
  signRelease,
  writeEnvelope,
} from '@ferrule/signing';
import { readReleasable } from '@ferrule/source';
import { expect, test } from 'vitest';
import { Rig, scratch } from './rig.ts';
import { putSettling, settlingJob } from './settling.ts';

function aKey(): PrivateKey {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  return key;
}

const lead = aKey();
const foreman = aKey();
const deputy = aKey();

const policy = (approvers = 'foreman'): string => `format: ferrule-policy-1
keys:
  lead: { holder: service-engineering lead, key: '${lead.id}' }
  foreman: { holder: workshop foreman, key: '${foreman.id}' }
  deputy: { holder: deputy, key: '${deputy.id}' }
packs:
  '*': { authors: [lead], approvers: [${approvers}] }
`;

/** Signs what stands in a folder as its author, and answers the digest of its bundle. */
async function release(folder: string): Promise<string> {
  const read = await readReleasable(folder);
  if (read === undefined || !('named' in read) || read.digest === undefined)
    throw new Error(`${folder} cannot be released`);
  const { named, digest, files, libraries } = read;
  const envelope = signRelease({ ...named, digest, files, libraries, at: '2026-03-01T08:00:00Z' }, lead);
  writeFileSync(join(folder, releaseFile), writeEnvelope(envelope));
  return digest;
}

/** Adds the signature of the foreman. */
function approve(folder: string): void {
  const path = join(folder, releaseFile);
  const envelope = readEnvelope(readFileSync(path, 'utf8'));
  if (envelope === undefined) throw new Error('it is not released');
  writeFileSync(path, writeEnvelope(addSignature(envelope, foreman)));
}

/** An overlay that adds nothing. */
function putOverlay(shelf: string, digest: string): void {
  const folder = join(shelf, 'settling-here/1.0.0');
  mkdirSync(folder, { recursive: true });
  writeFileSync(
    join(folder, 'overlay.yaml'),
    `format: 1
overlay: settling-here
revision: 1.0.0
title: As it is done here
source: Invented for this test
over: { pack: settling, revision: 1.0.0, digest: '${digest}' }
`,
  );
}

const flat = (text: string): string => text.replace(/\s+/g, ' ');

/** What every address says of the pack and of a job that is begun now, having been held against the words that are expected. */
async function says(
  rig: Rig,
  expected: { readonly state: string; readonly approved: boolean; readonly words: string },
  id: string,
): Promise<void> {
  const { state, words } = expected;
  const listed = (await rig.get('/packs')).json['packs'];
  expect(listed).toEqual([expect.objectContaining({ pack: 'settling', release: expected })]);
  expect((await rig.get('/packs/settling/1.0.0')).json['release']).toEqual(expected);
  const sheet = await rig.get('/packs/settling/1.0.0/sheet?procedure=settle&variant=any-engine');
  expect(flat(sheet.text).split(`<b>${words}</b>`).length - 1, 'heading and foot').toBe(2);
  const job = await rig.begin(id, settlingJob);
  await holds(rig, job, expected);
  // What a job has kept stands in its record, for another process too.
  const again = new Rig({ packs: [] }, rig.folder);
  await holds(again, job, expected);
  const given = await again.give(job, `${id}-note`, 1, { command: 'note', text: 'Seen.' });
  expect(given.json['release']).toEqual(expected);
  const read = again.store.read(job);
  const kept = read.fault === undefined ? read.header.release : read.fault;
  if (state === 'unsigned') expect(kept).toBeUndefined();
  else expect(kept).toMatchObject({ approved: expected.approved });
}

/** Every address that shows the job says the same of the release of its pack. */
async function holds(
  rig: Rig,
  job: string,
  expected: { readonly state: string; readonly approved: boolean; readonly words: string },
): Promise<void> {
  for (const part of ['', '/offers', '/facts', '/verdicts', '/handed-on', '/verification'])
    expect((await rig.get(`/jobs/${job}${part}`)).json['release'], part).toEqual(expected);
  const { jobs } = (await rig.get('/jobs')).json;
  const row = Array.isArray(jobs) ? jobs.find((one) => one.job === job) : undefined;
  expect(row?.release).toEqual(expected);
  const card = (await rig.get(`/jobs/${job}/card?form=json`)).json;
  expect(JSON.stringify(card)).toContain(`The pack is ${expected.words}.`);
  const printed = flat((await rig.get(`/jobs/${job}/card?form=html`)).text);
  expect(printed).toContain(`The pack is ${expected.words}.`);
  const other = new Rig();
  const { text: record } = await rig.get(`/jobs/${job}/record`);
  const headers = { 'content-type': 'application/json' };
  const taken = await other.call({ method: 'POST', url: '/records', payload: record, headers });
  expect(taken).toMatchObject({ status: 200, json: { was: 'new', release: expected } });
  const leaving = new AbortController();
  const stream = await fetch(`${await rig.listen()}/jobs/${job}/stream`, { signal: leaving.signal });
  const reader = stream.body?.pipeThrough(new TextDecoderStream()).getReader();
  let text = '';
  while (!text.includes('\n\n')) text += (await reader?.read())?.value ?? '';
  leaving.abort();
  const [, data = ''] = /event: job\ndata: (.*)\n/.exec(text) ?? [];
  expect(JSON.parse(data).release).toEqual(expected);
}

test('every address says how the pack is released: unsigned, signed, and approved', async () => {
  const shelf = scratch();
  const folder = putSettling(shelf);
  const rig = new Rig({ packs: [shelf] });
  await says(rig, { state: 'unsigned', approved: false, words: 'unsigned' }, 'begin-unsigned');
  writeFileSync(join(shelf, 'policy.yaml'), policy());
  await release(folder);
  const now = (await rig.get('/packs')).json['packs'];
  const words =
    'signed by lead (service-engineering lead), not approved under a policy (The policy wants the approval of foreman)';
  expect(now).toEqual([expect.objectContaining({ release: { state: 'signed', approved: false, words } })]);
  // What a job keeps are the signatures, without the sentence about what the policy wants now.
  const waiting = await rig.begin('begin-waiting', settlingJob);
  await holds(rig, waiting, {
    ...{ state: 'signed', approved: false },
    words: 'signed by lead (service-engineering lead), not approved under a policy',
  } as const);
  approve(folder);
  await says(
    rig,
    {
      ...{ state: 'signed', approved: true },
      words: 'signed by lead (service-engineering lead), approved by foreman (workshop foreman)',
    },
    'begin-approved',
  );
  expect(rig.defects).toEqual([]);
});

test('a pack that is not as it was released is called that, and no job begins on it; one that has begun goes on', async () => {
  const shelf = scratch();
  const folder = putSettling(shelf);
  await release(folder);
  const rig = new Rig({ packs: [shelf] });
  const begun = await rig.begin('begin-before', settlingJob);
  appendFileSync(join(folder, 'pack.yaml'), '# wider\n');
  const words = expect.stringMatching(/^NOT AS RELEASED\. .*pack\.yaml/);
  expect((await rig.get('/packs')).json['packs']).toEqual([
    expect.objectContaining({ release: { state: 'broken', approved: false, words }, jobs: [] }),
  ]);
  for (const answer of [
    await rig.get('/packs/settling/1.0.0'),
    await rig.get('/packs/settling/1.0.0/sheet?procedure=settle&variant=any-engine'),
    await rig.post('/jobs', { ...settlingJob, id: 'begin-after', by: 'technician A' }),
  ])
    expect(answer).toMatchObject({
      status: 409,
      json: { code: 'faulty-pack', operands: { release: words } },
    });
  // It runs on what the store has kept, which is as it was signed.
  const given = await rig.give(begun, 'note-00001', 1, { command: 'note', text: 'Goes on.' });
  expect(given).toMatchObject({ status: 200, json: { release: { state: 'signed', approved: false } } });
  writeFileSync(join(folder, releaseFile), '{}');
  expect((await rig.get('/packs')).json['packs']).toEqual([
    expect.objectContaining({ release: expect.objectContaining({ state: 'broken' }) }),
  ]);
});

test('a policy counts as it stands now, and with a fault no pack is begun by it', async () => {
  const shelf = scratch();
  const folder = putSettling(shelf);
  await release(folder);
  approve(folder);
  const elsewhere = join(scratch(), 'who-releases.yaml');
  writeFileSync(elsewhere, policy());
  const rig = new Rig({ packs: [shelf], policy: elsewhere });
  const wordsNow = async (): Promise<string> => {
    const { packs } = (await rig.get('/packs')).json;
    return Array.isArray(packs) ? packs[0]?.release?.words : '';
  };
  expect(await wordsNow()).toMatch(/approved by foreman \(workshop foreman\)$/);
  // The foreman may not approve any more; another one has to.
  writeFileSync(elsewhere, policy('deputy'));
  expect(await wordsNow()).toMatch(/ and foreman \(workshop foreman\), not approved under a policy \(/);
  writeFileSync(elsewhere, policy('nobody'));
  for (const answer of [
    await rig.get('/packs'),
    await rig.get('/packs/settling/1.0.0'),
    await rig.post('/jobs', { ...settlingJob, id: 'begin-0001', by: 'technician A' }),
  ]) {
    expect(answer).toMatchObject({ status: 409, json: { code: 'faulty-policy', operands: { line: 7 } } });
    expect(answer.text).not.toContain(dirname(elsewhere));
  }
  rmSync(elsewhere);
  expect((await rig.get('/packs')).json['code']).toBe('faulty-policy');
  expect(rig.store.names()).toEqual([]);
});

test('of an overlay is said how that is released, too', async () => {
  const shelf = scratch();
  const folder = putSettling(shelf);
  writeFileSync(join(shelf, 'policy.yaml'), policy());
  putOverlay(shelf, await release(folder));
  approve(folder);
  const rig = new Rig({ packs: [shelf] });
  const overlay = { overlay: 'settling-here', revision: '1.0.0' };
  const job = await rig.begin('begin-0001', { ...settlingJob, overlay });
  const words =
    'signed by lead (service-engineering lead), approved by foreman (workshop foreman); overlay unsigned';
  // Approved is what all of it is.
  await holds(rig, job, { state: 'signed', approved: false, words } as const);
  const sheet = await rig.get(
    '/packs/settling/1.0.0/sheet?procedure=settle&variant=any-engine&overlay=settling-here&overlayRevision=1.0.0',
  );
  expect(flat(sheet.text)).toContain(`<b>${words}</b>`);
});
