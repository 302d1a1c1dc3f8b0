import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readingsOfStore } from '@ferrule/compare/readings';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { inventedFolder } from '../compare/invented-packs.ts';
import { InventedJobs } from '../compare/invented-store.ts';
import { type Answer, get, post, type Served, servedIn } from './served.ts';

// The built command, whose rejudgings run on threads; invented jobs, of which it is known what the newer revision makes of them.
const home = mkdtempSync(join(tmpdir(), 'ferrule-rejudgings-'));
const [shelf, store] = [join(home, 'shelf'), join(home, 'jobs')];
const JOBS = 1500;
const asked = { id: 'rejudge-0001', pack: 'marram-bore-survey', revision: '1.1.0' };
let server: Served;
let changed = 0;

const start = (): Promise<Served> => servedIn({ packs: shelf }, store);
const ended = async (one: Served): Promise<void> => {
  one.child.kill('SIGTERM');
  expect((await one.ended).how).toBe(0);
};

async function until(id: string, isEnough: (json: Answer['json']) => boolean): Promise<Answer['json']> {
  for (;;) {
    const { json } = await get(`${server.url}/rejudgings/${id}`);
    if (isEnough(json)) return json;
    await new Promise((next) => setTimeout(next, 20));
  }
}
const isOver = ({ state }: Answer['json']): boolean => state !== 'under-way';
const doneOf = (json: Answer['json']): number => Number(Object(json['jobs']).done);

beforeAll(async () => {
  for (const revision of ['1.0.0', '1.1.0'] as const)
    cpSync(inventedFolder(revision), join(shelf, 'marram-bore-survey', revision), { recursive: true });
  const tally = (await InventedJobs.make()).write(store, JOBS, 7);
  for (const of of tally.values())
    for (const [said, count] of of) {
      const [was, now] = said.split(' → ');
      if (now !== undefined && was !== now) changed += count;
    }
  server = await start();
}, 120_000);
afterAll(async () => {
  await ended(server);
  rmSync(home, { recursive: true, force: true });
});

test('jobs are judged again while others are served, and it goes on after a restart to the same end', async () => {
  const begun = await post(`${server.url}/rejudgings`, asked);
  expect(begun).toMatchObject({ status: 202, json: { state: 'under-way' } });
  const second = await post(`${server.url}/rejudgings`, { ...asked, id: 'rejudge-0002' });
  expect(second).toMatchObject({ status: 409, json: { code: 'rejudging-under-way' } });
  const early = await get(`${server.url}/rejudgings/rejudge-0001/report`);
  expect(early).toMatchObject({ status: 409, json: { code: 'not-done' } });
  const some = await until('rejudge-0001', (json) => doneOf(json) > 0);
  expect(some).toMatchObject({ state: 'under-way', jobs: { total: JOBS } });
  await ended(server);
  server = await start();
  expect((await get(`${server.url}/rejudgings/rejudge-0001`)).json).toMatchObject({ state: 'cut-off' });
  expect((await post(`${server.url}/rejudgings`, asked)).status).toBe(202);
  const done = await until('rejudge-0001', isOver);
  expect(done).toMatchObject({ state: 'done', jobs: { total: JOBS, done: JOBS } });
  const { json: report } = await get(`${server.url}/rejudgings/rejudge-0001/report`);
  expect(report).toMatchObject({ jobs: JOBS, pack: { id: 'marram-bore-survey' }, revision: '1.1.0' });
  const rows: readonly unknown[] = Object(report['rows']);
  expect(rows.filter((row) => Object(row).outcome === 'changed')).toHaveLength(changed);
  expect(changed).toBeGreaterThan(0);
}, 240_000);

test('one that is stopped stays so and makes room for the next', async () => {
  const id = 'rejudge-0003';
  await post(`${server.url}/rejudgings`, { ...asked, id });
  await until(id, (json) => doneOf(json) > 0);
  const stopped = await fetch(`${server.url}/rejudgings/${id}/stop`, { method: 'POST' });
  expect(Object(await stopped.json())).toMatchObject({ state: 'stopped' });
  expect((await post(`${server.url}/rejudgings`, { ...asked, id })).json).toMatchObject({ state: 'stopped' });
  expect((await post(`${server.url}/rejudgings`, { ...asked, id: 'rejudge-0004' })).status).toBe(202);
  await until('rejudge-0004', (json) => doneOf(json) > 0);
  await fetch(`${server.url}/rejudgings/rejudge-0004/stop`, { method: 'POST' });
}, 120_000);

test('a comparison that runs the newer revision leaves room for other requests', async () => {
  const address = `${server.url}/packs/marram-bore-survey/1.1.0/comparison?with=1.0.0&behaviour=yes`;
  let isThere = false;
  const both = [address, address].map(get);
  void Promise.all(both).then(() => {
    isThere = true;
  });
  expect((await get(`${server.url}/packs`)).status).toBe(200);
  expect(isThere).toBe(false);
  const [one, other] = await Promise.all(both);
  expect(one?.json).toMatchObject({ format: 'ferrule-comparison-1', behaviour: { cutShort: false } });
  expect(other?.json).toEqual(one?.json);
  const plain = await get(address.replace('&behaviour=yes', ''));
  expect(plain.json['behaviour']).toBeUndefined();
  const html = await fetch(`${address}&form=html`);
  expect(await html.text()).toContain('What it does otherwise');
}, 120_000);

test('readings against a limit are counted over HTTP as the command counts them', async () => {
  const address = `${server.url}/spread?pack=marram-bore-survey&of=pump-height-limits`;
  const { status, json } = await get(`${address}&until=2024-01-10`);
  expect(status).toBe(200);
  expect(json).toMatchObject({ format: 'ferrule-readings-1', store: 'this server', until: '2024-01-10' });
  const found = readingsOfStore({
    ...{ store, pack: 'marram-bore-survey' },
    of: 'pump-height-limits',
    until: '2024-01-10',
  });
  if (!('document' in found)) throw new Error(found.nothing);
  expect(json['against']).toEqual(JSON.parse(JSON.stringify(found.document.against)));
  const html = await fetch(`${address}&until=2024-01-02&form=html`);
  expect(html.headers.get('content-security-policy')).toContain("default-src 'none'");
  expect(await html.text()).toContain('<svg');
  const csv = await fetch(`${address}&until=2024-01-02`, { headers: { accept: 'text/csv' } });
  expect(await csv.text()).toMatch(/^of,procedure,limits,/);
  expect((await get(address.replace('pump-height', 'pump-heigth'))).json).toMatchObject({
    ...{ code: 'invalid-request', pointer: '/query/of' },
    operands: { names: expect.arrayContaining(['pump-height-limits']) },
  });
  expect((await get(`${address}&revision=9.0.0`)).json).toMatchObject({ code: 'no-such-job' });
  expect((await get(`${address}&from=today`)).json).toMatchObject({ pointer: '/query/from' });
  for (const days of ['from=2024-02-30', 'until=2024-02-30', 'from=2024-03-01&until=2024-01-01'])
    for (const asked of [`${address}&${days}`, `${server.url}/jobs?${days}`]) {
      const { status: refused, json: problem } = await get(asked);
      expect([asked, refused, problem['code']]).toEqual([asked, 400, 'invalid-request']);
    }
}, 120_000);
