import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { ferrule } from '../cli/ferrule.ts';
import { root, served } from './served.ts';

const hasPython =
  spawnSync('python3', ['-c', 'import sys; sys.exit(sys.version_info < (3, 8))']).status === 0;

function client(
  ...words: readonly string[]
): Promise<{ readonly code: number | null; readonly said: string }> {
  const child = spawn('python3', [join(root, 'docs/examples/client.py'), ...words]);
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (piece) => (said += String(piece)));
  return new Promise((done) => child.on('close', (code) => done({ code, said })));
}

test.skipIf(!hasPython)(
  'a job from the terminal is finished by a client in Python, through a kill',
  async () => {
    const folder = mkdtempSync(join(tmpdir(), 'ferrule-client-'));
    try {
      const jobs = join(folder, 'jobs');
      const pack = 'specs/valve-clearance/1.0.0';
      const call = ['run', pack, '--procedure', 'set-clearances', '--variant', 'marram-four', '--jobs', jobs];
      // Who takes part and with what, the first hazard, and then the terminal is left.
      const lines = ['technician A', 'lead C', 'FG-1', 'TW-2 2099-12-31', 'understood', 'quit'];
      const begun = ferrule(call, { lines });
      const [job = ''] = folderStore(jobs)
        .list()
        .jobs.map((one) => one.job);
      expect(job, begun.stdout + begun.stderr).not.toBe('');
      const first = await served(jobs);
      const half = client(first.url, job);
      await expect
        .poll(() => folderStore(jobs).read(job).facts?.length ?? 0, { timeout: 60_000, interval: 20 })
        .toBeGreaterThan(10);
      first.child.kill('SIGKILL');
      expect((await half).code).not.toBe(0);
      const second = await served(jobs);
      const rest = await client(second.url, job);
      expect(rest.said).toMatch(/inlet-limits@1|exhaust-limits@/);
      expect(rest.said).toContain(`${job}: closed`);
      expect(rest.said).toContain('Ferrule never says that a job is safe.');
      expect(rest.code).toBe(0);
      // By itself it begins one, and finishes that.
      const own = await client(second.url);
      expect(own.code, own.said).toBe(0);
      second.child.kill('SIGTERM');
      expect(await second.ended).toMatchObject({ how: 0, said: expect.stringContaining('Stopped.') });
      expect(folderStore(jobs).list({ state: 'closed' }).jobs).toHaveLength(2);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  },
);
