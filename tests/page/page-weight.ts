import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { root } from './page-rig.ts';

const dist = join(root, 'packages/page/dist');

/** What the build says of a file of the page: what it loads at once, what it loads when it is asked for, and its styles. */
interface Piece {
  readonly file: string;
  readonly imports?: readonly string[];
  readonly css?: readonly string[];
}

type Manifest = Readonly<Record<string, Piece>>;

const manifest = (): Manifest => JSON.parse(readFileSync(join(dist, '.vite/manifest.json'), 'utf8'));

/** What the list of jobs is made of. */
export const firstScreen = ['index.html'];
/** What the list of jobs fetches while it stands there. */
export const fetchedAhead = ['src/screens/begin-screen.tsx', 'src/screens/job-screen.tsx'];

/** Every file that has to be there before what these sources make can be shown. */
export function loadedFor(sources: readonly string[]): ReadonlySet<string> {
  const all = manifest();
  const files = new Set(['index.html']);
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

/** What they weigh together, gzipped, in thousands of bytes. */
export const kilobytes = (files: Iterable<string>): number =>
  [...files].reduce((sum, file) => sum + gzipSync(readFileSync(join(dist, file))).length, 0) / 1000;
