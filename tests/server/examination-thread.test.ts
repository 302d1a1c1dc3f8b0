import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { post, served } from './served.ts';

const store = mkdtempSync(join(tmpdir(), 'ferrule-thread-'));
afterEach(() => rmSync(store, { recursive: true, force: true }));

test('jobs are answered, and judged again, while a pack is proved; the server stops in the middle of it', async () => {
  const { url, child, ended } = await served(store);
  const ask = async (path: string) => {
    const response = await fetch(`${url}${path}`);
    const json: Readonly<Record<string, unknown>> = Object(await response.json());
    return { status: response.status, json };
  };
  const doing: string[] = [];
  for (;;) {
    const { status, json } = await ask('/packs/valve-clearance/1.0.0/check');
    if (status === 200) {
      expect(json).toMatchObject({ findings: [], faults: [] });
      break;
    }
    expect(status).toBe(202);
  }
  // On the thread of the server nothing would be heard of it before it is finished.
  for (;;) {
    const { status, json } = await ask('/packs/marram-unit-pumps/1.1.0/check');
    expect(status).toBe(202);
    expect((await ask('/jobs')).status).toBe(200);
    doing.push(Object(json['working']).doing);
    if (doing.at(-1)?.startsWith('proving install-and-synchronise for') === true) break;
  }
  // In one queue it would wait for the proof.
  expect((await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' })).status).toBe(201);
  const rejudging = { id: 'rejudge-0001', pack: 'valve-clearance', revision: '1.0.0' };
  expect((await post(`${url}/rejudgings`, rejudging)).status).toBe(202);
  while ((await ask('/rejudgings/rejudge-0001')).json['state'] === 'under-way');
  expect((await ask('/rejudgings/rejudge-0001')).json).toMatchObject({ state: 'done', jobs: { done: 1 } });
  expect((await ask('/packs/marram-unit-pumps/1.1.0/check')).status).toBe(202);
  child.kill('SIGTERM');
  const { how, said } = await ended;
  expect([how, said]).toEqual([0, expect.stringContaining('Stopped.')]);
}, 120_000);
