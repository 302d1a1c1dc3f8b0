import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { askedDigest, findingCodes, folderStore } from '@ferrule/records';
import { makeKeyPair, parsePrivateKey } from '@ferrule/signing';
import { bundleOf } from '@ferrule/source';
import { afterAll, expect, it } from 'vitest';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/records.md', import.meta.url), 'utf8');
const blocks = new Map(fencedBlocks(page).map(({ info, text }) => [info, text.trimEnd()]));
const folder = mkdtempSync(join(tmpdir(), 'ferrule-page-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** What the examples of the page are of. */
const bundle = bundleOf({});
const fact = (seq: number, body: Fact['fact']): Fact => ({
  format: '1',
  seq,
  id: `7c1f.${seq}`,
  at: '2026-03-02T08:00:00+01:00',
  by: 'technician A',
  fact: body,
});
const job = '2026-03-02-set-clearances-4f21';

it('the examples of the page are what a store writes', () => {
  const store = folderStore(folder);
  const { digest } = bundle;
  const command = { command: 'abandon', reason: 'No parts.' };
  store.create(
    {
      job,
      pack: { id: 'valve-clearance', revision: '1.0.0', path: '../specs/valve-clearance/1.0.0', digest },
      procedure: 'set-clearances',
      variant: 'marram-four',
    },
    bundle.text,
    [fact(1, { kind: 'closed', finished: false, reason: 'No parts.' })],
    askedDigest({ by: 'technician A', command }),
  );
  const [header, batch] = readFileSync(join(folder, `${job}.jsonl`), 'utf8').split('\n');
  expect(blocks.get('json header')).toBe(header);
  expect(blocks.get('json batch')).toBe(batch);
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if ('wrong' in key) throw new Error(key.wrong);
  store.sign(job, key, 'lead C', '2026-03-02T17:00:00+01:00');
  const { payload } = store.signature(job) ?? {};
  expect(blocks.get('json statement')).toBe(Buffer.from(payload ?? '', 'base64').toString('utf8'));
});

it('the page says of every finding what it means', () => {
  const rows = page.split('\n').filter((line) => line.startsWith('| `'));
  for (const code of findingCodes)
    expect(
      rows.some((row) => row.includes(`\`${code}\``)),
      code,
    ).toBe(true);
});
