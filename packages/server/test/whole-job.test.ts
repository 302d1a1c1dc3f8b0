import { join } from 'node:path';
import { ScriptedPerson } from '@ferrule/check';
import {
  type Command,
  decide,
  type Fact,
  type Job,
  offers,
  type Plan,
  resolve,
  start,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { makeKeyPair, parsePrivateKey } from '@ferrule/signing';
import { bundleOf, readPack } from '@ferrule/source';
import { beforeAll, expect, test } from 'vitest';
import { localTime } from '../src/local-time.ts';
import { beginning } from './beginning.ts';
import { Rig, scratch, specs } from './rig.ts';
import { putSettling, settlingJob } from './settling.ts';

let plan: Plan;
let bundle: string;

beforeAll(async () => {
  const { document } = await readPack(join(specs, 'valve-clearance/1.0.0'));
  const { pack } = validate(document);
  const resolved = pack && resolve(pack, { procedure: 'set-clearances', variant: 'marram-four' });
  if (resolved?.plan === undefined) throw new Error('the pack has to run');
  plan = resolved.plan;
  bundle = bundleOf(document).digest;
});

/** What somebody did at what time. */
interface Done {
  readonly id: string;
  readonly at: string;
  readonly by: string;
  readonly command: Command;
}

/**
 * A job that goes wrong in every way: inlet 4 is tight and reworked, exhaust 3 stays wide until it is on hold and the lead lets
 * it be, a reading is struck and taken again, and the job is left over night.
 */
function script(): { readonly facts: readonly Fact[]; readonly done: readonly Done[]; readonly job: Job } {
  const person = new ScriptedPerson(plan, {
    persons: { technician: 'technician A', lead: 'lead C' },
    readings: {
      'inlet-clearance': '0.25 mm',
      'exhaust-clearance': '0.45 mm',
      'inlet-clearance@4': '0.30 mm',
      'exhaust-clearance@3': '0.50 mm',
    },
    releases: { 'clearance-stays-outside': { by: 'concession', reason: 'It is wide and not tight.' } },
  });
  let minutes = 0;
  const now = (): string => new Date(Date.UTC(2026, 2, 2, 7, minutes++)).toISOString().replace('.000', '');
  const begun = start(
    plan,
    { bundle, persons: beginning.persons, instruments: beginning.instruments },
    { at: now(), by: 'technician A', id: 'begin-0001' },
  );
  if (begun.refusals !== undefined) throw new Error(begun.refusals[0]?.message);
  let { job } = begun;
  const done: Done[] = [];
  const give = (command: Command, by: string): void => {
    const one = { id: `command-${done.length}`, at: now(), by, command };
    const decided = decide(plan, job, command, one, job.seq);
    if (decided.refusals !== undefined) throw new Error(decided.refusals[0]?.message);
    done.push(one);
    job = decided.job;
  };
  let isStruck = false;
  let isParked = false;
  let wasTight = false;
  for (;;) {
    const offered = offers(plan, job);
    if (!isParked && offered.offers.some((one) => one.offer === 'park') && done.length > 12) {
      isParked = true;
      give({ command: 'park', reason: 'End of the working day.' }, 'technician A');
      const [resume] = offers(plan, job).offers;
      const confirmed = resume?.offer === 'resume' ? resume.confirm.map(({ id }) => id) : [];
      give({ command: 'resume', confirmed }, 'technician A');
      continue;
    }
    const reading = job.facts.findLast(({ fact }) => fact.kind === 'reading');
    if (!isStruck && isParked && reading !== undefined && offered.standing === 'at-step') {
      isStruck = true;
      give({ command: 'strike', target: reading.seq, reason: 'Read from the wrong blade.' }, 'technician A');
      continue;
    }
    const move = person.move(job, offered, '2026-03-02T07:00:00Z');
    if ('ends' in move) {
      expect(move).toEqual({ ends: 'closed' });
      return { facts: job.facts, done, job };
    }
    const { command, by } = move;
    if (!wasTight && command.command === 'record' && command.entry === 'inlet-clearance@4') {
      wasTight = true;
      give({ ...command, value: '0.15 mm' }, by);
    } else give(command, by);
  }
}

test('a whole job over HTTP has the facts that the engine makes by itself', async () => {
  const { facts, done } = script();
  const kinds = new Set(facts.map(({ fact }) => fact.kind));
  for (const kind of ['judged', 'held', 'released', 'struck', 'parked', 'resumed', 'closed'] as const)
    expect(kinds).toContain(kind);
  expect(
    facts.filter(({ fact }) => fact.kind === 'judged' && fact.verdict.verdict === 'nonconforming').length,
  ).toBeGreaterThan(3);
  const rig = new Rig();
  const job = await rig.begin();
  let seq = 1;
  for (const { id, at, by, command } of done) {
    rig.clock = new Date(at);
    const { status, json } = await rig.give(job, id, seq, command, by);
    expect(status, JSON.stringify(json)).toBe(200);
    seq = Number(json['seq']);
  }
  const told = await rig.get(`/jobs/${job}/facts`);
  expect(told.json['facts']).toEqual(JSON.parse(JSON.stringify(facts)));
  // The store has them, and not only this process.
  const again = new Rig({}, rig.folder);
  expect((await again.get(`/jobs/${job}/facts`)).json['facts']).toEqual(told.json['facts']);
  const { json } = await again.get(`/jobs/${job}`);
  expect(json).toMatchObject({ state: 'closed', standing: 'closed', seq, release: { state: 'unsigned' } });
  expect(json['notice']).toBe(plan.pack.notice);
  expect(json['signed']).toBe(false);
  // Signed from the terminal meanwhile, it says so at every address.
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  expect(rig.store.sign(job, key, 'lead C', '2026-03-02T12:00:00Z').refused).toBeUndefined();
  expect((await again.get(`/jobs/${job}`)).json['signed']).toBe(true);
  expect((await again.get(`/jobs/${job}/card?form=json`)).json['signature']).toMatchObject({
    state: 'signed',
    says: expect.stringMatching(/^The record is signed by lead C at 2026-03-02 12:00, key ed25519:/),
  });
  expect(String(json['deferral'])).toMatch(/^Ferrule never says that a job is safe\./);
  const { verdicts } = (await again.get(`/jobs/${job}/verdicts`)).json;
  const judged = facts.filter(({ fact }) => fact.kind === 'judged');
  expect(verdicts).toHaveLength(judged.length);
  // Inlet 4 was tight once and conforms now; exhaust 3 was let be as it was.
  expect(verdicts).toContainEqual(expect.objectContaining({ of: 'inlet-limits@4', counts: false }));
  const counting = Array.isArray(verdicts) ? verdicts.filter((one) => one.counts) : [];
  expect(counting.map((one) => [one.of, one.verdict.verdict])).toContainEqual([
    'inlet-limits@4',
    'conforming',
  ]);
  expect(counting.map((one) => [one.of, one.verdict.verdict])).toContainEqual([
    'exhaust-limits@3',
    'nonconforming',
  ]);
  expect(new Set(counting.map((one) => one.of)).size).toBe(counting.length);
  const listed = await again.get('/jobs?instrument=FG-1&state=closed&hold=clearance-stays-outside');
  expect(listed.json['jobs']).toEqual([expect.objectContaining({ job, concessions: 1 })]);
  expect((await again.get('/jobs?instrument=FG-9')).json['jobs']).toEqual([]);
  const conceded = '/jobs?concession=clearance-stays-outside&grantedBy=lead%20C&role=lead&person=lead%20C';
  expect(
    (await again.get(`${conceded}&instrument=FG-1&from=2026-03-02&until=2026-03-03`)).json['jobs'],
  ).toEqual(listed.json['jobs']);
  expect((await again.get(`${conceded}&until=2026-03-01`)).json['jobs']).toEqual([]);
  expect((await again.get('/jobs?grantedBy=technician%20A')).json['jobs']).toEqual([]);
  const misspelt = await again.get('/jobs?hold=clearance-stay-outside&role=lead');
  expect(misspelt.json).toMatchObject({
    jobs: [],
    unknown: [
      {
        ...{ name: 'hold', value: 'clearance-stay-outside', near: 'clearance-stays-outside' },
        says: 'No job here has stood at the hold clearance-stay-outside. Did you mean clearance-stays-outside? There is clearance-stays-outside.',
      },
    ],
  });
  expect((await again.get('/jobs?engine=ME-0')).json).not.toHaveProperty('unknown');
  expect((await again.get('/jobs?state=close')).json).toMatchObject({
    status: 400,
    detail:
      '/query/state is close, and that is none of open, parked, held, closed, abandoned. Did you mean closed?',
  });
  for (const [query, detail] of [
    ['pack=', '/query/pack is empty.'],
    ['pack=a&pack=b', '/query/pack is given twice.'],
    [`pack=${'a'.repeat(201)}`, '/query/pack has more than 200 characters.'],
  ])
    expect((await again.get(`/jobs?${query}`)).json).toMatchObject({ status: 400, detail });
  expect((await again.get('/bundles/sha256:00')).json).toMatchObject({
    status: 400,
    detail: '/path/digest has to be sha256: with 64 digits from 0 to f behind it.',
  });
  for (const limit of ['0', '9999999999', 'all'])
    expect((await again.get(`/jobs?limit=${limit}`)).json).toMatchObject({
      status: 400,
      detail: '/query/limit has to be a whole number from 1 to 999999999.',
    });
  expect((await again.get('/spread?pack=valve-clearence&of=inlet-limits')).json).toMatchObject({
    ...{ code: 'no-such-job', pointer: '/query/pack' },
    detail: expect.stringContaining('Did you mean valve-clearance?'),
  });
  expect((await again.get('/jobs?from=today')).json).toMatchObject({ pointer: '/query/from' });
  const csv = await again.get('/jobs?lot=none', { headers: { accept: 'text/csv' } });
  expect(csv.text).toMatch(/^job,state,[^\n]*\r\n$/);
  for (const [accept = '', type] of [
    ['text/html,*/*;q=0.1', 'text/html; charset=utf-8'],
    ['text/csv', 'text/csv; charset=utf-8'],
    ['*/*', 'application/json; charset=utf-8'],
  ]) {
    const card = await again.get(`/jobs/${job}/card`, { headers: { accept } });
    expect(card.status, card.text.slice(0, 300)).toBe(200);
    expect(card.headers['content-type']).toBe(type);
    expect(card.text).toMatch(/exhaust/i);
  }
  expect((await again.get(`/jobs/${job}/card?form=json`)).json).toMatchObject({ format: 'ferrule-card-1' });
  const verified = (digest: unknown) => again.get(`/jobs/${job}/verification?expect=${digest}`);
  expect((await verified(json['lastDigest'])).json).toMatchObject({
    ...{ isSound: true, findings: [], facts: seq, last: json['lastDigest'] },
  });
  expect((await verified(`sha256:${'0'.repeat(64)}`)).json).toMatchObject({ isSound: false });
  expect([...rig.defects, ...again.defects]).toEqual([]);
});

test('a client that knows nothing but the offers comes to the end of a job', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  for (let turn = 0; turn < 500; turn++) {
    const { json, status } = await rig.get(`/jobs/${job}/offers`);
    expect(status).toBe(200);
    const { standing, offers: open } = Object(json['offers']);
    if (standing === 'closed') return;
    const offer = open.find((one: { offer: string }) => !['park', 'omit'].includes(one.offer));
    const command =
      offer.offer === 'record'
        ? {
            command: 'record',
            entry: offer.entry,
            value: offer.entry.startsWith('inlet') ? '0,25' : '.45 mm',
          }
        : offer.offer === 'close'
          ? { command: 'close' }
          : { command: offer.offer, step: offer.step };
    const given = await rig.give(job, `turn-${String(turn).padStart(4, '0')}`, Number(json['seq']), command);
    expect(given.status, given.text).toBe(200);
  }
  throw new Error('the job does not end');
});

test('a pack that has gone from the shelf leaves its jobs as they were', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const without = new Rig({ packs: [] }, rig.folder);
  expect(
    (await without.give(job, 'note-00001', 1, { command: 'note', text: 'The shelf is empty.' })).status,
  ).toBe(200);
  expect((await without.get('/packs')).json['packs']).toEqual([]);
  // The other server sees what this one has written.
  expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ seq: 2 });
});

test('several jobs go on side by side', async () => {
  const rig = new Rig();
  const jobs = await Promise.all([1, 2, 3, 4].map((place) => rig.begin(`begin-000${place}`)));
  expect(new Set(jobs).size).toBe(4);
  const notes = jobs.flatMap((job, place) =>
    Array.from({ length: 5 }, (_, turn) => ({ job, seq: 1 + turn, id: `note-${place}-${turn}-x` })),
  );
  const given = await Promise.all(
    notes.map(({ job, seq, id }) => rig.give(job, id, seq, { command: 'note', text: id })),
  );
  expect(given.map(({ status }) => status)).toEqual(notes.map(() => 200));
  for (const job of jobs) expect((await rig.get(`/jobs/${job}`)).json).toMatchObject({ seq: 6 });
});

test('more jobs than are kept ready are all read right', async () => {
  const rig = new Rig();
  const jobs: string[] = [];
  for (let place = 0; place < 4; place++) {
    const job = await rig.begin(`begin-many-${place}`);
    jobs.push(job);
  }
  const other = new Rig({ packs: [] }, rig.folder);
  for (const job of [...jobs, ...jobs].reverse())
    expect((await other.get(`/jobs/${job}`)).json).toMatchObject({ job, seq: 1 });
});

test('a clock that jumps back during a wait makes the wait no shorter', async () => {
  const shelf = scratch();
  putSettling(shelf);
  const rig = new Rig({ packs: [shelf] });
  const at = (time: string): void => {
    rig.clock = new Date(`2026-03-02T${time}Z`);
  };
  /** As the server writes it, in the time of this place. */
  const said = (time: string): string => localTime(new Date(`2026-03-02T${time}:00Z`));
  at('12:00:00');
  const job = await rig.begin('begin-0001', settlingJob);
  const done = (id: string, seq: number, step: string) => rig.give(job, id, seq, { command: 'done', step });
  expect((await done('stop-00001', 1, 'stop')).status).toBe(200);
  const isTooSoon = async (id: string, message: string): Promise<void> => {
    const { status, json } = await done(id, 2, 'settle');
    expect({ status, json }).toMatchObject({
      status: 422,
      json: { code: 'refused', refusals: [{ code: 'too-soon', message }] },
    });
  };
  at('12:09:59');
  await isTooSoon('settle-0001', '10 min have to pass; 1 s are left.');
  // Set back by an hour: the wait is not over at ten past eleven.
  at('11:00:00');
  const setBack = (now: string): string =>
    `10 min have to pass since ${said('12:00')}, and it is ${said(now)} now: the clock was set back in between, so how long was waited is not known.`;
  await isTooSoon('settle-0002', setBack('11:00'));
  at('11:10:00');
  await isTooSoon('settle-0003', setBack('11:10'));
  at('12:10:00');
  expect((await done('settle-0004', 2, 'settle')).status).toBe(200);
});
