import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { inventedFolder } from '../compare/invented-packs.ts';
import { inventedReadings } from '../compare/invented-readings.ts';
import { InventedJobs, type KnownTally } from '../compare/invented-store.ts';
import { median } from './contest.ts';
import { duration, type Row, significant } from './row.ts';

/** Jobs of sixty readings; `FERRULE_REJUDGE_JOBS=100000` for as many as a large workshop has in ten years: 10 GB of disk. */
const JOBS = Number(process.env['FERRULE_REJUDGE_JOBS'] ?? 3000);
const ROUNDS = JOBS > 20_000 ? 1 : 3;
const SEED = 20_261_125;
const AIM_TIMES = 1.5;
const AIM_MEGABYTES = 300;
const command = 'packages/cli/dist/ferrule.js';
/** What is done with each job by somebody who has no Ferrule. */
const besides = ['parse', 'json-logic-js', 'json-rules-engine'] as const;

const PARSE = 'read and parsed, JSON.parse of each line';
const ALL = 'ferrule rejudge --all';
const CHANGED = 'ferrule rejudge, what has changed';

interface Used {
  readonly clock: number;
  readonly processor: number;
  readonly memory: number;
}

/** Every job of a store judged by another revision, beside reading them, and beside libraries of rules. */
export async function measureRejudge(): Promise<readonly Row[]> {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-rejudge-speed-'));
  try {
    const store = join(folder, 'jobs');
    const known = (await InventedJobs.make()).write(store, JOBS, SEED);
    // A bundle of its own, which starts as quickly as what it is.
    const self = join(dirname(process.argv[1] ?? ''), 'rejudge-beside.mjs');
    const out = join(folder, 'out');
    const words = [command, 'rejudge', inventedFolder('1.1.0'), '--jobs', store, '--out', out];
    const calls: readonly (readonly [of: string, words: readonly string[], exit: number])[] = [
      ...besides.map(
        (name) =>
          [
            name === 'parse' ? PARSE : `the same, and plain limits by ${name}`,
            [self, name, store],
            0,
          ] as const,
      ),
      [ALL, [...words, '--all'], 1],
      [CHANGED, words, 1],
    ];
    const found = new Map(calls.map(([of]) => [of, [] as Used[]]));
    for (let round = 0; round < ROUNDS; round++)
      for (const [of, call, exit] of calls) {
        found.get(of)?.push(used(call, exit, (said) => hasToBe(known, said)));
        if (exit === 1) isAsKnown(out, known);
      }
    return rowsFor(found);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function rowsFor(found: ReadonlyMap<string, readonly Used[]>): readonly Row[] {
  const of = (name: string, key: keyof Used): number =>
    median((found.get(name) ?? []).map((one) => one[key]));
  return [...found.keys()].map((name): Row => {
    const [clock, processor, memory] = (['clock', 'processor', 'memory'] as const).map((key) =>
      of(name, key),
    );
    const times = (processor ?? 0) / of(PARSE, 'processor');
    return {
      measure: `${JOBS.toLocaleString('en')} jobs of 60 readings`,
      of: name,
      value: `${duration(clock ?? 0)}, ${duration(processor ?? 0)} of processor, ${significant((memory ?? 0) / 1e6)} MB`,
      ratio: `× ${significant(times)}; by the clock × ${significant((clock ?? 0) / of(PARSE, 'clock'))}`,
      ...(name === ALL
        ? {
            aim: {
              says: `${AIM_TIMES} ×, ${AIM_MEGABYTES} MB`,
              met: times <= AIM_TIMES && (memory ?? 0) <= AIM_MEGABYTES * 1e6,
            },
          }
        : {}),
    };
  });
}

/** A process by itself, with what it has used; what it has written is looked at. */
function used(words: readonly string[], exit: number, look: (said: string) => void): Used {
  const before = process.hrtime.bigint();
  const ran = spawnSync(process.execPath, ['--import', './tests/speed/used.js', ...words], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe', 'pipe'],
  });
  const clock = Number(process.hrtime.bigint() - before);
  if (ran.status !== exit) throw new Error(`${words.join(' ')} ended with ${ran.status}: ${ran.stderr}`);
  if (exit === 0) look(ran.stdout);
  return { clock, ...JSON.parse(ran.output[3] ?? '') };
}

/** Libraries know no guard bands; of plain limits they have to say what is known. */
function hasToBe(known: KnownTally, said: string): void {
  const conforming: Readonly<Record<string, number>> = JSON.parse(said);
  if (Object.keys(conforming).length === 0) return;
  for (const { name, now } of inventedReadings) {
    if (now === undefined || now.guarded === true) continue;
    const wanted = countIn(known, name, (answer) => answer.endsWith('→ conforming'));
    if (conforming[name] !== wanted)
      throw new Error(`${name}: ${conforming[name]} conform, and not ${wanted}`);
  }
}

/** What comes out otherwise has to be as many as is known. */
function isAsKnown(out: string, known: KnownTally): void {
  const text = readFileSync(join(out, 'rejudged.txt'), 'utf8');
  const said = Number(/^(\d+) verdicts of \d+ jobs\s+come\s+out/m.exec(text)?.[1]);
  const wanted = inventedReadings.reduce(
    (sum, { name }) =>
      sum +
      countIn(known, name, (answer) => {
        const [was, now] = answer.split(' → ');
        return now !== undefined && was !== now;
      }),
    0,
  );
  if (said !== wanted) throw new Error(`${said} come out otherwise, and not ${wanted}`);
}

const countIn = (known: KnownTally, name: string, isMeant: (answer: string) => boolean): number =>
  [...known].reduce(
    (sum, [tolerance, of]) =>
      tolerance.startsWith(`${name}-limits@`)
        ? sum + [...of].reduce((inner, [answer, count]) => (isMeant(answer) ? inner + count : inner), 0)
        : sum,
    0,
  );
