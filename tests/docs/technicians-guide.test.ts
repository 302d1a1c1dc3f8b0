import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { verdicts } from '@ferrule/engine';
import { expect, test } from 'vitest';
import { labelsOfPage } from '../house/words-of-page.ts';
import { root } from '../server/served.ts';

const guide = readFileSync(join(root, 'docs/technicians-guide.md'), 'utf8');
const pictures = readFileSync(join(root, 'tests/page/pictures.ts'), 'utf8');

/** The picture under each heading, and the numbers of the list below it. */
const parts = guide.split(/^## /m).flatMap((part) => {
  const [, picture] = /\]\(pictures\/(\S+)\.png\)/.exec(part) ?? [];
  return picture === undefined
    ? []
    : [{ picture, numbers: [...part.matchAll(/^(\d)\. /gm)].map(([, one]) => Number(one)) }];
});

test('whatever the guide says to press or look for stands on the page', async () => {
  const labels = await labelsOfPage(join(root, 'packages/page/src'));
  const named = [...guide.matchAll(/\*\*([^*]+)\*\*/g)].map(([, name = '']) => name.replace(/\s+/g, ' '));
  expect(named.length).toBeGreaterThan(20);
  expect(named.filter((name) => !labels.has(name))).toEqual([]);
});

test('the guide tells every verdict', () => {
  const told = [...guide.matchAll(/(?<!\*)\*(\w+)\*(?!\*)/g)].map(([, word = '']) => word.toLowerCase());
  expect(told.sort()).toEqual([...verdicts].sort());
});

test('every number on a picture is told below it, and no other', () => {
  expect(parts.length).toBe(4);
  for (const { picture, numbers } of parts) {
    const [, selectors = ''] =
      new RegExp(`picture\\(\\s*page,\\s*'${picture}',\\s*\\[([^\\]]*)\\]`).exec(pictures) ?? [];
    const put = [...selectors.matchAll(/'[^']+'/g)].map((_, index) => index + 1);
    expect([picture, numbers]).toEqual([picture, put]);
  }
});

test('the pictures of the page are there, and each is shown', () => {
  const made = [...pictures.matchAll(/picture\(\s*page,\s*'([\w-]+)'/g)].map(([, name]) => `${name}.png`);
  const there = readdirSync(join(root, 'docs/pictures')).filter((name) => name.startsWith('page-'));
  expect(there.sort()).toEqual(made.sort());
  const shown = `${guide}${readFileSync(join(root, 'README.md'), 'utf8')}`;
  for (const name of there) expect(shown).toContain(`pictures/${name})`);
});
