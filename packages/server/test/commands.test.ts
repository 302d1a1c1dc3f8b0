import { expect, test } from 'vitest';
import { Rig } from './rig.ts';

const note = (text: string) => ({ command: 'note', text });

test('the same id with the same request has the same answer, also after a restart', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const first = await rig.give(job, 'note-00001', 1, note('One.'));
  await rig.give(job, 'note-00002', 2, note('Two.'));
  const again = await rig.give(job, 'note-00001', 1, note('One.'));
  expect(again).toMatchObject({ status: 200, text: first.text });
  // Whoever repeats it may have seen more by now.
  expect((await rig.give(job, 'note-00001', 3, note('One.'))).text).toBe(first.text);
  const restarted = new Rig({}, rig.folder);
  expect((await restarted.give(job, 'note-00001', 1, note('One.'))).json).toEqual(first.json);
  expect((await restarted.get(`/jobs/${job}`)).json).toMatchObject({ seq: 3 });
});

test('the same id with another request is told, also after a restart', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  await rig.give(job, 'note-00001', 1, note('One.'));
  for (const server of [rig, new Rig({}, rig.folder)]) {
    const other = await server.give(job, 'note-00001', 2, note('Another.'));
    expect(other).toMatchObject({ status: 409, json: { code: 'id-used', pointer: '/id' } });
    const byOther = await server.give(job, 'note-00001', 2, note('One.'), 'lead C');
    expect(byOther).toMatchObject({ status: 409, json: { code: 'id-used' } });
    expect((await server.get(`/jobs/${job}`)).json).toMatchObject({ seq: 2 });
  }
});

test('a job is begun once for an id, whatever the day is', async () => {
  const rig = new Rig();
  const job = await rig.begin('begin-0001');
  rig.clock = new Date('2026-03-05T07:00:00Z');
  expect(await rig.begin('begin-0001')).toBe(job);
  const restarted = new Rig({}, rig.folder);
  expect(await restarted.begin('begin-0001')).toBe(job);
  const other = await restarted.post('/jobs', {
    ...{ id: 'begin-0001', by: 'technician A', pack: 'valve-clearance', revision: '1.0.0' },
    ...{ procedure: 'set-clearances', variant: 'marram-three', persons: [], instruments: [] },
  });
  expect(other).toMatchObject({ status: 409, json: { code: 'id-used' } });
  expect((await rig.get('/jobs')).json['jobs']).toHaveLength(1);
});

test('two requests with one id at the same time begin one job', async () => {
  const rig = new Rig();
  const jobs = await Promise.all([1, 2, 3].map(() => rig.begin('begin-0001')));
  expect(new Set(jobs).size).toBe(1);
});

test('of two clients with one view of a job the second is told', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const both = await Promise.all([
    rig.give(job, 'note-aaaaa', 1, note('A')),
    rig.give(job, 'note-bbbbb', 1, note('B')),
  ]);
  expect(both.map(({ status }) => status).sort()).toEqual([200, 409]);
  const told = both.find(({ status }) => status === 409);
  expect(told?.json).toMatchObject({
    code: 'stale-sequence',
    pointer: '/expectedSeq',
    operands: { expectedSeq: 1, seq: 2 },
  });
});

test('what another process has added is seen before a command is decided', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  await rig.get(`/jobs/${job}`);
  const other = new Rig({}, rig.folder);
  await other.give(job, 'note-other', 1, note('From elsewhere.'));
  expect(await rig.give(job, 'note-00001', 1, note('Late.'))).toMatchObject({
    status: 409,
    json: { code: 'stale-sequence', operands: { seq: 2 } },
  });
  expect((await rig.give(job, 'note-00002', 2, note('In time.'))).status).toBe(200);
  expect(rig.store.read(job).facts?.map(({ fact }) => fact.kind)).toEqual(['started', 'noted', 'noted']);
});

test('a refused command changes nothing, and its id is free', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const refused = await rig.give(job, 'close-0001', 1, { command: 'close' });
  expect(refused).toMatchObject({
    status: 422,
    json: { code: 'refused', refusals: [{ code: 'not-offered' }] },
  });
  expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ seq: 1 });
  expect((await rig.give(job, 'close-0001', 1, note('Something else.'))).status).toBe(200);
});

test.each([
  ['a text of another script', 'Ölstand geprüft. 油面。 \u{1F527}'],
  ['markup', '<script>alert(1)</script>'],
  ['signs that turn a text about', '\u202Eetirw'],
  ['a path', '../../etc/passwd'],
  ['control characters', 'a\u0000b\u001b[2J'],
])('%s is kept as it was said', async (_name, text) => {
  const rig = new Rig();
  const job = await rig.begin();
  const { status, json } = await rig.give(job, 'note-00001', 1, note(text));
  expect(status).toBe(200);
  expect(json['facts']).toMatchObject([{ fact: { kind: 'noted', text } }]);
  expect(rig.store.read(job).facts?.at(-1)?.fact).toMatchObject({ text });
});

test.each([
  ['half a character', { command: 'note', text: 'a\ud800' }, '/command/text'],
  ['a command that there is none of', { command: 'erase' }, '/command/command'],
  ['a member that there is none of', { command: 'close', force: true }, '/command/force'],
  ['a missing member', { command: 'note' }, '/command/text'],
  ['a number for a text', { command: 'note', text: 1 }, '/command/text'],
  ['a text for a number', { command: 'strike', target: '1', reason: 'x' }, '/command/target'],
  ['nothing', null, '/command'],
  ['a list', [], '/command'],
])('%s is pointed at', async (_name, command, pointer) => {
  const rig = new Rig();
  const job = await rig.begin();
  const { status, json } = await rig.post(`/jobs/${job}/commands`, {
    ...{ id: 'note-00001', expectedSeq: 1, by: 'technician A', command },
  });
  expect({ status, json }).toMatchObject({ status: 400, json: { code: 'invalid-request', pointer } });
  expect(rig.defects).toEqual([]);
});

test.each(['constructor', '__proto__', 'toString', 'hasOwnProperty', '../x', 'a/b', ''])(
  'the name %j reaches nothing that is no name of ours',
  async (name) => {
    const rig = new Rig();
    const job = await rig.begin();
    const tries = [
      rig.give(job, 'record-0001', 1, { command: 'record', entry: name, value: '1' }),
      rig.give(job, 'join-00001', 1, { command: 'join', role: name, person: 'lead C' }),
      rig.give(job, 'stock-0001', 1, { command: 'out-of-stock', stock: name, size: name }),
    ];
    for (const { status } of await Promise.all(tries)) expect(status).toBe(422);
    const begun = await rig.post('/jobs', {
      ...{ id: 'begin-0002', by: 'technician A', pack: 'valve-clearance', revision: '1.0.0' },
      ...{ procedure: name || 'x', variant: name || 'x', persons: [], instruments: [] },
    });
    expect(begun).toMatchObject({ status: 404, json: { code: 'no-such-procedure' } });
    expect(rig.defects).toEqual([]);
  },
);
