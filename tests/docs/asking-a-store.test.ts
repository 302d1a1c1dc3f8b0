import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { ferrule, root } from '../cli/ferrule.ts';
import { InventedJobs } from '../compare/invented-store.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(join(root, 'docs/asking-a-store.md'), 'utf8');
const folder = mkdtempSync(join(tmpdir(), 'ferrule-asking-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('every output on the page is what the command writes', async () => {
  (await InventedJobs.make()).write(join(folder, 'jobs'), 200, 7);
  let stdout = '';
  let calls = 0;
  for (const { text } of fencedBlocks(page)) {
    const [command, ...words] = text.trim().split(' ');
    if (command === 'ferrule') {
      const ran = ferrule(words, { cwd: folder });
      expect([text, ran.exitCode]).toEqual([text, 0]);
      stdout = ran.stdout;
      calls += 1;
    } else expect(stdout).toContain(text.trimEnd());
  }
  expect(calls).toBe(3);
}, 240_000);
