import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { needs } from '@ferrule/compare';
import { expect, test } from 'vitest';
import { ferrule, root } from '../cli/ferrule.ts';
import { labelsOfPage } from '../house/words-of-page.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(join(root, 'docs/auditors-guide.md'), 'utf8');

test('every output on the page is what the command writes', () => {
  const [call, ...shown] = fencedBlocks(page).map(({ text }) => text);
  const words = (call ?? '').trim().split(' ');
  expect(words[0]).toBe('ferrule');
  const { stdout, exitCode } = ferrule(words.slice(1));
  expect(exitCode).toBe(0);
  expect(shown.length).toBeGreaterThan(4);
  for (const one of shown) expect(stdout).toContain(one.trimEnd());
  // All that is no trial is walked through.
  const told = shown.join('\n');
  const changes = stdout
    .slice(0, stdout.indexOf('\nTRIALS'))
    .split('\n')
    .filter((line) => /^- (?:In|The) /.test(line));
  expect(changes.length).toBeGreaterThan(8);
  for (const line of changes) expect(told).toContain(line);
});

/** What a class asks for, in words. */
function asks({ else: otherwise, because: _, ...by }: (typeof needs)[keyof typeof needs]): string {
  const where = {
    stronger: 'where it protects more',
    work: 'of the work alone',
    wording: 'of the wording alone',
    safety: 'of words for safety',
  };
  const parts = Object.entries(where).flatMap(([key, words]) => {
    const level = Object.entries(by).find(([name]) => name === key)?.[1];
    return level === undefined ? [] : [`${level} ${words}`];
  });
  return [...parts, parts.length === 0 ? otherwise : `else ${otherwise}`].join(', ');
}

test('the table of what asks for which revision is that of the code', () => {
  const rows = Object.entries(needs).map(
    ([change, row]) => `| \`${change}\` | ${asks(row)} | ${row.because} |`,
  );
  const table = page.split('| change | asks for | because |\n|---|---|---|\n')[1]?.split('\n\n')[0];
  expect(table?.split('\n')).toEqual(rows);
});

test('what the page is said to have is what stands on it', async () => {
  const [, section = ''] = /\n## On the page\n([\s\S]*?)\n## /.exec(page) ?? [];
  const labels = await labelsOfPage(join(root, 'packages/page/src'));
  const named = [...section.matchAll(/\*\*([^*]+)\*\*/g)].map(([, label = '']) => label.replace(/\s+/g, ' '));
  expect(named.length).toBeGreaterThan(5);
  for (const one of named) expect([...labels]).toContain(one);
});
