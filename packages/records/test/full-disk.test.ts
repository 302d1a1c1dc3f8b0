import { createHash } from 'node:crypto';
import { fsyncSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { folderStore, listJobs } from '@ferrule/records';
import { expect, it, vi } from 'vitest';

// The disk is full at the moment when what was written has to reach it.
vi.mock('node:fs', async (original) => {
  const real = await original<typeof import('node:fs')>();
  return { ...real, fsyncSync: vi.fn(real.fsyncSync) };
});

const bundle = '{"document":{},"format":"ferrule-bundle-1"}';
const header = {
  job: 'pilot-boat-2',
  pack: {
    id: 'pumps',
    revision: '1.0.0',
    path: '../specs/pumps',
    digest: `sha256:${createHash('sha256').update(bundle).digest('hex')}`,
  },
  procedure: 'set',
  variant: 'four',
};
const started: Fact = {
  format: '1',
  seq: 1,
  id: 'x.1',
  at: '2026-03-02T08:00:00+01:00',
  by: 'technician A',
  fact: { kind: 'noted', text: 'begun' },
};

it.each([0, 1, 2, 3])(
  'a job that cannot be written leaves nothing in the way, and its name can be used (sync %i)',
  (before) => {
    const folder = mkdtempSync(join(tmpdir(), 'ferrule-jobs-'));
    const store = folderStore(folder);
    const mocked = vi.mocked(fsyncSync);
    const real = mocked.getMockImplementation() ?? (() => undefined);
    for (let count = 0; count < before; count++) mocked.mockImplementationOnce(real);
    mocked.mockImplementationOnce(() => {
      throw Object.assign(new Error('no space left on device'), { code: 'ENOSPC' });
    });
    const made = store.create(header, bundle, [started]);
    mocked.mockReset().mockImplementation(real);
    // Folders are synced where that can be done; it is no fault where it cannot.
    if (before % 2 === 0) {
      expect(made).toMatchObject({ refused: 'not-written', message: expect.stringContaining('(ENOSPC)') });
      expect(listJobs(folder)).toEqual([]);
      expect(readdirSync(folder, { recursive: true }).filter((name) => !/^packs/.test(String(name)))).toEqual(
        [],
      );
      expect(store.create(header, bundle, [started])).toEqual({ created: 1 });
    } else expect(made).toEqual({ created: 1 });
    expect(listJobs(folder)).toEqual(['pilot-boat-2']);
    expect(store.bundle(header.pack.digest)).toBe(bundle);
    rmSync(folder, { recursive: true });
  },
);
