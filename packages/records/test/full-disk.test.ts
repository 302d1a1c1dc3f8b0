import { fsyncSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createJob, listJobs } from '@ferrule/records';
import { expect, it, vi } from 'vitest';

// The disk is full at the moment when what was written has to reach it.
vi.mock('node:fs', async (original) => {
  const real = await original<typeof import('node:fs')>();
  return { ...real, fsyncSync: vi.fn(real.fsyncSync) };
});

const header = {
  job: 'pilot-boat-2',
  pack: { id: 'pumps', revision: '1.0.0', path: '../specs/pumps', digest: `sha256:${'0'.repeat(64)}` },
  procedure: 'set',
  variant: 'four',
};

it('a job that cannot be written leaves nothing, and its name can be used', () => {
  const store = mkdtempSync(join(tmpdir(), 'ferrule-jobs-'));
  vi.mocked(fsyncSync).mockImplementationOnce(() => {
    throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
  });
  expect(createJob(store, header)).toMatchObject({ fault: { message: expect.stringContaining('(ENOSPC)') } });
  expect(readdirSync(store)).toEqual([]);
  expect(createJob(store, header)).toHaveProperty('file');
  expect(listJobs(store)).toEqual(['pilot-boat-2']);
  rmSync(store, { recursive: true });
});
