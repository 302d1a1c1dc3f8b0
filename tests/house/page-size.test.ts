import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';

const dist = fileURLToPath(new URL('../../packages/page/dist/', import.meta.url));

/** What the build says of a file of the page: what it loads at once, what it loads when it is asked for, and its styles. */
interface Piece {
  readonly file: string;
  readonly imports?: readonly string[];
  readonly css?: readonly string[];
}

type Manifest = Readonly<Record<string, Piece>>;

const manifest = (): Manifest => JSON.parse(readFileSync(join(dist, '.vite/manifest.json'), 'utf8'));

/** Every file that has to be there before what these sources make can be shown. */
function loadedFor(all: Manifest, sources: readonly string[]): ReadonlySet<string> {
  const files = new Set<string>();
  const visit = (source: string): void => {
    const piece = all[source];
    if (piece === undefined) throw new Error(`the page was built without ${source}`);
    if (files.has(piece.file)) return;
    for (const file of [piece.file, ...(piece.css ?? [])]) files.add(file);
    piece.imports?.forEach(visit);
  };
  sources.forEach(visit);
  return files;
}

const kilobytes = (files: Iterable<string>): number =>
  [...files].reduce((sum, file) => sum + gzipSync(readFileSync(join(dist, file))).length, 0) / 1000;

describe('the page comes quickly', () => {
  const first = ['index.html'];

  test.each([
    ['the list of jobs', first, 30],
    [
      'the list of jobs, with what it fetches ahead',
      [...first, 'src/screens/begin-screen.tsx', 'src/screens/job-screen.tsx'],
      // What is fetched while the list stands there already.
      160,
    ],
    ['a job that is opened by its address', [...first, 'src/screens/job-screen.tsx'], 150],
  ])('%s loads what it shows in few kilobytes, gzipped', (_, sources, most) => {
    const files = loadedFor(manifest(), sources);
    expect(files.size).toBeGreaterThan(1);
    expect(kilobytes(['index.html', ...files])).toBeLessThan(most);
  });
});
