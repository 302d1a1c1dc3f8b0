import { mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { digestOf } from '@ferrule/signing';
import { afterAll, expect, test } from 'vitest';
import { createServer, type ProblemCode, problemCodes, problems } from '../src/index.ts';
import { beginning } from './beginning.ts';
import { type Reply, Rig, raw, scratch, specs } from './rig.ts';

const reached = new Set<string>();

function is(code: ProblemCode, { status, json, headers }: Reply): void {
  expect(json, JSON.stringify(json)).toMatchObject({
    code,
    type: `/problems/${code}`,
    status,
    format: 'ferrule-http-1',
  });
  expect(status).toBe(problems[code].status);
  expect(headers['content-type']).toBe('application/problem+json');
  reached.add(code);
}

/** An answer as it came over a bare connection. */
function replyOf(text: string): Reply {
  const [head = '', body = ''] = text.split('\r\n\r\n');
  const status = Number(/^HTTP\/1\.1 (\d+)/.exec(head)?.[1]);
  const type = /^content-type: (.*)$/im.exec(head)?.[1]?.trim();
  return { status, headers: { 'content-type': type }, json: JSON.parse(body), text };
}

test('addresses and methods', async () => {
  const rig = new Rig();
  is('no-such-address', await rig.get('/nowhere'));
  const wrong = await rig.call({ method: 'DELETE', url: '/jobs' });
  is('method-not-allowed', wrong);
  expect(wrong.headers['allow']).toBe('GET, HEAD, POST');
});

test('callers', async () => {
  const rig = new Rig();
  is('wrong-host', await rig.get('/jobs', { headers: { host: 'evil.example' } }));
  is('foreign-origin', await rig.get('/jobs', { headers: { origin: 'http://evil.example' } }));
  is('no-token', await new Rig({ token: 'a'.repeat(40) }).get('/jobs'));
  const few = new Rig({ limits: { requests: 1 } });
  await few.get('/jobs');
  is('too-many-requests', await few.get('/jobs'));
});

test('connections', async () => {
  const rig = new Rig({ limits: { headersTime: 300, requestTime: 600 } });
  const said = async (bytes: string): Promise<Reply> => replyOf(await raw(rig, bytes, 8000));
  is('malformed-request', await said('EHLO workshop\r\n\r\n'));
  const asking = (more: string): Promise<Reply> =>
    said(`GET /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nConnection: close\r\n${more}\r\n`);
  is('expectation-failed', await asking('Expect: a-miracle\r\n'));
  is('other-content-coding', await asking('Content-Encoding: gzip\r\nContent-Length: 2\r\n\r\n{}'));
  is('request-too-slow', await said('GET /jobs HTTP/1.1\r\nHost: '));
});

test('examinations', async () => {
  const rig = new Rig({ limits: { longWorkTime: 1 } });
  is('examination-gave-up', await rig.get('/packs/valve-clearance/1.0.0/check'));
  is('no-such-pack', await rig.get('/packs/valve-clearance/9.0.0/check'));
});

test('what takes long', async () => {
  const full = new Rig({ limits: { longWork: 0 } });
  const comparison = '/packs/marram-unit-pumps/1.1.0/comparison?with=1.0.0&behaviour=yes';
  is('too-much-waiting', await full.get(comparison));
  is('too-much-waiting', await full.get('/packs/valve-clearance/1.0.0/check'));
  const rig = new Rig();
  await rig.begin();
  const asked = { id: 'rejudge-0001', pack: 'valve-clearance', revision: '1.0.0' };
  expect((await rig.post('/rejudgings', asked)).status).toBe(202);
  is('rejudging-under-way', await rig.post('/rejudgings', { ...asked, id: 'rejudge-0002' }));
  is('not-done', await rig.get('/rejudgings/rejudge-0001/report'));
  await rig.call({ method: 'POST', url: '/rejudgings/rejudge-0001/stop' });
  expect((await rig.get('/rejudgings/rejudge-0001')).json).toMatchObject({ state: 'stopped' });
  is('not-done', await rig.get('/rejudgings/rejudge-0001/report'));
  is('no-such-rejudging', await rig.get('/rejudgings/rejudge-0002'));
  const bare = createServer({ store: rig.store, packs: [specs] });
  const address = { url: '/spread?pack=valve-clearance&of=gap', headers: { host: '127.0.0.1:8321' } };
  const { statusCode: status, headers, body: text } = await bare.inject(address);
  is('no-store-folder', {
    status,
    headers: { ...headers, 'content-type': String(headers['content-type']).split(';')[0] },
    text,
    json: JSON.parse(text),
  });
  await bare.close();
});

test('bodies', async () => {
  const rig = new Rig();
  const send = (payload: string, type = 'application/json') =>
    rig.call({ method: 'POST', url: '/jobs', payload, headers: { 'content-type': type } });
  is('malformed-body', await send('{'));
  is('other-media-type', await send('{}', 'text/plain'));
  is('too-large', await send(JSON.stringify('x'.repeat(300_000))));
  is('invalid-request', await send('{}'));
});

test('packs', async () => {
  const shelf = scratch();
  mkdirSync(join(shelf, 'broken/1.0.0'), { recursive: true });
  writeFileSync(join(shelf, 'broken/1.0.0/pack.yaml'), 'pack: broken\nrevision: 1.0.0\n');
  const rig = new Rig({ packs: [shelf, specs] });
  is('no-such-pack', await rig.post('/jobs', { ...beginning, id: 'begin-0001', pack: 'no-pack' }));
  is('no-such-procedure', await rig.post('/jobs', { ...beginning, id: 'begin-0001', procedure: 'none' }));
  is('faulty-pack', await rig.post('/jobs', { ...beginning, id: 'begin-0001', pack: 'broken' }));
  is('faulty-pack', await rig.get('/packs/broken/1.0.0'));
  expect((await rig.get('/packs')).json['packs']).toContainEqual(
    expect.objectContaining({
      pack: 'broken',
      jobs: [],
      diagnostics: expect.objectContaining({ warnings: 0 }),
    }),
  );
  const policy = join(shelf, 'policy.yaml');
  writeFileSync(policy, 'format: ferrule-policy-1\n');
  is('faulty-policy', await rig.get('/packs'));
  is('faulty-policy', await rig.get('/packs/broken/1.0.0'));
  // That of the one shelf counts there alone.
  expect((await rig.get('/packs/valve-clearance/1.0.0')).json['code']).toBe('faulty-policy');
  expect(rig.store.names()).toEqual([]);
});

test('commands', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  is('no-such-job', await rig.get('/jobs/no-job'));
  is('refused', await rig.give(job, 'close-0001', 1, { command: 'close' }));
  is('stale-sequence', await rig.give(job, 'note-00001', 0, { command: 'note', text: 'x' }));
  await rig.give(job, 'note-00001', 1, { command: 'note', text: 'x' });
  is('id-used', await rig.give(job, 'note-00001', 1, { command: 'note', text: 'y' }));
});

test('records', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const file = join(rig.folder, `${job}.jsonl`);
  // Somebody keeps it locked, of whom nothing can be found out.
  mkdirSync(`${file}.lock`);
  const unwritten = await rig.give(job, 'note-00001', 1, { command: 'note', text: 'x' });
  is('not-written', unwritten);
  expect(unwritten.text).not.toContain(rig.folder);
  // Whoever runs the server is told why, once.
  await rig.give(job, 'note-00001', 1, { command: 'note', text: 'x' });
  expect(rig.notes).toEqual([expect.stringContaining('Another process keeps the job file locked')]);
  const other = await rig.begin('begin-0002');
  const bundle = String(Object((await rig.get(`/jobs/${other}`)).json['pack']).digest).slice(
    'sha256:'.length,
  );
  writeFileSync(join(rig.folder, 'packs', `${bundle}.json`), '{}');
  is('pack-not-at-hand', await new Rig({ packs: [] }, rig.folder).get(`/jobs/${other}`));
  writeFileSync(file, readFileSync(file, 'utf8').replaceAll('technician A', 'technician Z'));
  const unreadable = await new Rig({}, rig.folder).get(`/jobs/${job}`);
  is('unreadable-job', unreadable);
  expect(unreadable.text).not.toContain(rig.folder);
  const listed = await new Rig({}, rig.folder).get('/jobs');
  expect(listed.json['faults']).toMatchObject([{ job }]);
  expect(listed.text).not.toContain(rig.folder);
});

/** The smallest picture there is: the first bytes of a PNG (ISO/IEC 15948, 5.2), which is all that is looked at. */
const png = Buffer.from('89504e470d0a1a0a0000000d49484452', 'hex');

test('photographs', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const send = (payload: Buffer) =>
    rig.call({
      ...{ method: 'POST', url: `/jobs/${job}/photographs`, payload },
      headers: { 'content-type': 'image/png' },
    });
  const kept = await send(png);
  expect(kept.status).toBe(201);
  const found = await rig.get(String(kept.headers['location']));
  expect(found).toMatchObject({ status: 200, headers: { 'content-type': 'image/png' } });
  expect(found.headers['content-security-policy']).toMatch(/^default-src 'none'/);
  is('no-picture', await send(Buffer.from('<svg onload="alert(1)"/>')));
  is('no-such-photograph', await rig.get(`/photographs/sha256:${'0'.repeat(64)}`));
  is('no-such-photograph', await rig.get('/photographs/x'));
});

test('a body that is no UTF-8, and a stream from a fact that there is not', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const note = Buffer.from(
    '{"id":"note-0001","expectedSeq":1,"by":"technician A","command":{"command":"note","text":"a??b"}}',
  );
  note.set([0xff, 0xfe], note.indexOf('??'));
  is(
    'malformed-body',
    await rig.call({
      ...{ method: 'POST', url: `/jobs/${job}/commands`, payload: note },
      headers: { 'content-type': 'application/json' },
    }),
  );
  expect(rig.store.read(job).facts).toHaveLength(1);
  const beyond = await rig.get(`/jobs/${job}/stream?after=99999`);
  is('invalid-request', beyond);
  expect(beyond.json).toMatchObject({ pointer: '/query/after', operands: { seq: 1 } });
});

test('packs that jobs were begun with', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const { digest } = Object((await rig.get(`/jobs/${job}`)).json['pack']);
  const found = await rig.get(`/bundles/${digest}`);
  expect(found.status).toBe(200);
  expect(found.headers['cache-control']).toBe('private, max-age=31536000, immutable');
  expect(digestOf(found.text)).toBe(digest);
  is('no-such-bundle', await rig.get(`/bundles/sha256:${'0'.repeat(64)}`));
  is('invalid-request', await rig.get('/bundles/x'));
});

test('cards and records', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  is('not-acceptable', await rig.get(`/jobs/${job}/card`, { headers: { accept: 'image/png' } }));
  const send = (payload: string, to = rig) =>
    to.call({ method: 'POST', url: '/records', payload, headers: { 'content-type': 'application/json' } });
  is('bad-record', await send('{}'));
  const { text } = await rig.get(`/jobs/${job}/record`);
  is('bad-record', await send(text.replaceAll('technician A', 'technician Z')));
  expect((await send(text)).json).toMatchObject({ job, was: 'there' });
  const other = new Rig();
  expect((await send(text, other)).json).toMatchObject({ job, was: 'new' });
  await rig.give(job, 'note-00001', 1, { command: 'note', text: 'Here.' });
  await other.give(job, 'note-00001', 1, { command: 'note', text: 'There.' });
  is('job-exists', await send((await other.get(`/jobs/${job}/record`)).text));
});

test('a store whose folder was taken away', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const away = `${rig.folder}-away`;
  renameSync(rig.folder, away);
  try {
    is('store-gone', await rig.get(`/jobs/${job}`));
  } finally {
    renameSync(away, rig.folder);
  }
});

test('streams', async () => {
  const rig = new Rig({ limits: { streams: 1 } });
  const job = await rig.begin();
  const open = await fetch(`${await rig.listen()}/jobs/${job}/stream`);
  is('too-many-streams', await rig.get(`/jobs/${job}/stream`));
  await open.body?.cancel();
});

test('a defect says nothing of what it was, and is reported', async () => {
  const { store, folder } = new Rig();
  const fails = (): never => {
    throw new Error(`cannot open ${folder}/secret`);
  };
  const rig = new Rig({ store: { ...store, list: fails } });
  const answer = await rig.get('/jobs');
  is('defect', answer);
  expect(answer.text).not.toContain('secret');
  expect(String(rig.defects)).toContain('secret');
});

test('while it stops, what comes is told so', async () => {
  const rig = new Rig();
  let closing: Promise<unknown> | undefined;
  const text = await raw(rig, 'GET /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n', 8000, async (socket) => {
    closing = rig.app.close();
    await new Promise((later) => setTimeout(later, 200));
    socket.write('\r\n');
  });
  is('stopping', replyOf(text));
  await closing;
});

test('every kind of problem says of itself what it is', async () => {
  const rig = new Rig();
  for (const code of problemCodes) {
    const { json } = await rig.get(`/problems/${code}`);
    expect(json).toEqual({ format: 'ferrule-http-1', code, ...problems[code] });
  }
});

afterAll(() => {
  expect([...reached].sort(), 'problems that no test reaches').toEqual([...problemCodes].sort());
});
