import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, test } from 'vitest';
import { served } from './served.ts';

const store = mkdtempSync(join(tmpdir(), 'ferrule-thread-'));
afterEach(() => rmSync(store, { recursive: true, force: true }));

test('jobs are answered while a pack is proved; the server stops in the middle of it', async () => {
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
  child.kill('SIGTERM');
  const { how, said } = await ended;
  expect([how, said]).toEqual([0, expect.stringContaining('Stopped.')]);
}, 120_000);
