import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { createServer, limits, problems } from '@ferrule/server';
import { expect, test } from 'vitest';
import { root } from '../server/served.ts';

const page = readFileSync(join(root, 'docs/http.md'), 'utf8');

/** The rows of the table under a heading. */
const rowsUnder = (heading: string): readonly string[] =>
  (page.split(`## ${heading}\n`)[1] ?? '')
    .split(/\n## /)[0]
    ?.split('\n')
    .filter((line) => line.startsWith('|'))
    .slice(2) ?? [];

test('the table of addresses is that of the OpenAPI document', async () => {
  const app = createServer({ store: folderStore('unused'), packs: [] });
  await app.ready();
  const paths = Object.entries<Record<string, { summary?: string }>>(Object(app.swagger().paths));
  const rows = paths.flatMap(([path, methods]) =>
    Object.entries(methods).map(
      ([method, { summary }]) => `| \`${method.toUpperCase()} ${path}\` | ${summary} |`,
    ),
  );
  await app.close();
  expect([...rowsUnder('Addresses')].sort()).toEqual(rows.sort());
});

test('the table of problems is that of the code', () => {
  const rows = Object.entries(problems).map(
    ([code, { status, title, remedy }]) => `| \`${code}\` | ${status} | ${title} | ${remedy} |`,
  );
  expect(rowsUnder('Problems')).toEqual(rows);
});

test('the limits are those of the code', () => {
  const said = rowsUnder('Limits').join('\n');
  const mega = (bytes: number): string =>
    bytes % 1_000_000 === 0 ? `${bytes / 1e6} MB` : `${bytes / 1024} kB`;
  for (const value of [mega(limits.body), mega(limits.photograph), mega(limits.headers)])
    expect(said).toContain(value);
  for (const value of [
    limits.connections,
    limits.streams,
    limits.rejudgings,
    limits.longWork,
    limits.requests,
    limits.wrongTokens,
  ])
    expect(said).toContain(`| ${value.toLocaleString('en')} |`);
  for (const time of [limits.headersTime, limits.requestTime, limits.idleTime])
    expect(said).toContain(`| ${time / 1000} s |`);
});
