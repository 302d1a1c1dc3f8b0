import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { compareRevisions, type Revision } from '@ferrule/compare';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, FileReadings, readPack } from '@ferrule/source';
import jsonPatch from 'fast-json-patch';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { median } from './contest.ts';
import { duration, type Row, significant } from './row.ts';

const ROUNDS = 7;
const AIM_MILLISECONDS = 300;
const command = 'packages/cli/dist/ferrule.js';
/** Two revisions of the largest pack. */
const older = 'specs/marram-unit-pumps/1.0.0';
const newer = 'specs/marram-unit-pumps/1.1.0';

const parts = {
  read: 'of this: reading the files of both',
  validate: 'of this: holding both against the format',
  digest: 'of this: the digests',
  compare: 'of this: comparing',
} as const;
type Part = keyof typeof parts;
type Spent = Readonly<Record<Part, number>>;

/** A comparison of two revisions from a cold start, beside what somebody would take who had only texts or documents to compare. */
export async function measureCompare(): Promise<readonly Row[]> {
  const measure = 'two revisions of the largest pack, cold';
  const self = process.argv[1] ?? '';
  const calls = {
    ferrule: [process.execPath, command, 'compare', '--without-behaviour', older, newer],
    node: [process.execPath, '-e', '0'],
    text: ['git', 'diff', '--no-index', '--word-diff', older, newer],
    patch: [process.execPath, self, '--patch', older, newer],
  } as const;
  const found: Record<keyof typeof calls, number[]> = { ferrule: [], node: [], text: [], patch: [] };
  const spent: Spent[] = [];
  for (let round = 0; round < ROUNDS; round++) {
    for (const name of ['ferrule', 'node', 'text', 'patch'] as const) found[name].push(timed(calls[name]));
    spent.push(probed(self));
  }
  const whole = median(found.ferrule);
  const row = (of: string, nanoseconds: number): Row => ({
    measure,
    of,
    value: duration(nanoseconds),
    ratio: `× ${significant(nanoseconds / whole)}`,
  });
  return [
    {
      ...row('ferrule compare --without-behaviour', whole),
      aim: { says: `${AIM_MILLISECONDS} ms`, met: whole <= AIM_MILLISECONDS * 1e6 },
    },
    ...(['read', 'validate', 'digest', 'compare'] as const).map((part) =>
      row(parts[part], median(spent.map((one) => one[part])) * 1e6),
    ),
    row('node -e 0', median(found.node)),
    row('js-yaml and fast-json-patch alone', median(found.patch)),
    row('git diff --word-diff', median(found.text)),
  ];
}

function timed([program = '', ...words]: readonly string[]): number {
  const before = process.hrtime.bigint();
  const { status, error } = spawnSync(program, words, { stdio: 'ignore' });
  const nanoseconds = Number(process.hrtime.bigint() - before);
  // Both that differ, and a change that is not owned up to, end with 1.
  if (error !== undefined || status === null || status > 1)
    throw error ?? new Error(`${words.join(' ')} ended with ${status}`);
  return nanoseconds;
}

function probed(self: string): Spent {
  const { stdout, stderr, status } = spawnSync(process.execPath, [self, '--compare-parts'], {
    encoding: 'utf8',
  });
  if (status !== 0) throw new Error(stderr);
  return JSON.parse(stdout);
}

/** What each part of a comparison takes in a process that does nothing else, in milliseconds. */
export async function compareParts(): Promise<Spent> {
  let last = performance.now();
  const lap = (): number => {
    const before = last;
    last = performance.now();
    return last - before;
  };
  const readings = new FileReadings();
  const [before, after] = [await readPack(older, { readings }), await readPack(newer, { readings })];
  const read = lap();
  const packs = [before, after].map(({ document }) => validate(document).pack);
  const held = lap();
  const digests = [before, after].map(({ document }) => bundleOf(document).digest);
  const digest = lap();
  const sides = packs.map((pack, index): Revision => {
    if (pack === undefined) throw new Error('it does not hold against the format');
    return { name: '', pack, digest: digests[index] ?? '', release: 'unsigned' };
  });
  const [one, other] = sides;
  if (one === undefined || other === undefined) throw new Error('there are two');
  compareRevisions(one, other);
  return { read, validate: held, digest, compare: lap() };
}

/** Two folders parsed, and the difference of their documents as a JSON Patch (RFC 6902): places and values, and no meaning. */
export function patchOf(was: string, is: string): number {
  const [before, after] = [documentIn(was), documentIn(is)];
  const patch = jsonPatch.compare(before, after);
  if (patch.length === 0) throw new Error('nothing was found');
  return patch.length;
}

const documentIn = (folder: string): object =>
  Object.fromEntries(
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.yaml'))
      .map((name) => [name, load(readFileSync(join(folder, name), 'utf8'), { schema: FAILSAFE_SCHEMA })]),
  );
