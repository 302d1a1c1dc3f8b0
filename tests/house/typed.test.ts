import { execFileSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** The files that the type check of a project looks at, by their paths from the root. */
const lookedAt = (project: string): readonly string[] =>
  execFileSync(process.execPath, [
    join(root, 'node_modules/typescript/bin/tsc'),
    ...['-p', join(root, project), '--listFilesOnly'],
  ])
    .toString()
    .split('\n')
    .map((path) => relative(root, path.trim()).replaceAll('\\', '/'));

it('the types of every source file are checked, those of the page too', () => {
  const checked = new Set(['.', 'packages/page', 'packages/page/src/worker'].flatMap(lookedAt));
  const sources = readdirSync(join(root, 'packages'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name) && !entry.name.endsWith('.d.ts'))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).replaceAll('\\', '/'))
    .filter((path) => /^packages\/[^/]+\/(src|test)\//.test(path));
  expect(sources.length).toBeGreaterThan(300);
  expect(sources.filter((path) => !checked.has(path))).toEqual([]);
});
