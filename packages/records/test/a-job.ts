import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact, FactBody } from '@ferrule/engine';
import type { JobHeader } from '@ferrule/records';
import { afterEach } from 'vitest';

/** SHA-256 as the records write it, worked out here. */
const sha256 = (content: string | Uint8Array): `sha256:${string}` =>
  `sha256:${createHash('sha256').update(content).digest('hex')}`;

export const bundle = '{"document":{},"format":"ferrule-bundle-1"}';

export const header: JobHeader = {
  job: 'pilot-boat-2',
  pack: { id: 'pumps', revision: '1.0.0', path: '../specs/pumps', digest: sha256(bundle) },
  procedure: 'set',
  variant: 'four',
};

export const fact = (seq: number, body: FactBody, by = 'technician A'): Fact => ({
  format: '1',
  seq,
  id: `x.${seq}`,
  at: `2026-03-02T08:00:${String(seq % 60).padStart(2, '0')}+01:00`,
  by,
  fact: body,
});

export const note = (seq: number, text = `note ${seq}`): Fact => fact(seq, { kind: 'noted', text });

export const facts = (...bodies: readonly FactBody[]): readonly Fact[] =>
  bodies.map((one, index) => fact(index + 1, one));

export const started: FactBody = {
  kind: 'started',
  pack: 'pumps',
  revision: '1.0.0',
  bundle: sha256(bundle),
  procedure: 'set',
  variant: 'four',
  persons: [
    { role: 'technician', person: 'technician A' },
    { role: 'lead', person: 'lead C' },
  ],
  instruments: [{ kind: 'gauge', identity: 'GG-1' }],
};

const folders: string[] = [];
afterEach(() => {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
});

/** A folder for the jobs of one test. */
export function scratch(name = 'ferrule-jobs-'): string {
  const folder = mkdtempSync(join(tmpdir(), name));
  folders.push(folder);
  return folder;
}
