import {
  closeSync,
  fsyncSync,
  mkdtempSync,
  openSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { join } from 'node:path';
import { answersOf, runScript } from '@ferrule/check';
import type { Fact } from '@ferrule/engine';
import { folderStore, type JobHeader, jobPath, readJob } from '@ferrule/records';
import { digestOf } from '@ferrule/signing';
import { bundleOf } from '@ferrule/source';
import { batchLine, headerLine } from '../../packages/records/src/lines.ts';
import { contest, median } from './contest.ts';
import { planFor, readDemoPack } from './demo-pack.ts';
import { duration, type Row, rowsOf, significant } from './row.ts';

const JOBS = 10_000;
const FACTS = 100_000;
/** Of a stored job in the list; a whole one has some hundreds. */
const FACTS_OF_A_JOB = 30;
const LIST_MILLISECONDS = 100;
const SEARCH_MILLISECONDS = 200;

/** Facts as a job of the demonstration pack makes them. */
async function demoFacts(): Promise<readonly Fact[]> {
  const pack = await readDemoPack();
  const trial = Object.values(pack.trials ?? {}).find(
    (one) => one.procedure === 'install-and-synchronise' && one.expect.outcome === 'closed',
  );
  const answers = trial === undefined ? undefined : answersOf(pack, trial);
  if (trial === undefined || answers === undefined) throw new Error('the demonstration pack has no trial');
  const facts: Fact[] = [];
  runScript(planFor(pack, trial.variant), answers, {
    bundle: bundleOf({}).digest,
    startsAt: '2027-01-31T08:00:00Z',
    onFacts: (batch) => void facts.push(...batch),
  });
  if (facts.at(-1)?.fact.kind !== 'closed') throw new Error('the job of the trial is not closed');
  return facts;
}

const bundle = bundleOf({});
const headerOf = (job: string): JobHeader => ({
  job,
  pack: {
    id: 'marram-unit-pumps',
    revision: '1.0.0',
    path: '../specs/marram-unit-pumps/1.0.0',
    digest: bundle.digest,
  },
  procedure: 'install-and-synchronise',
  variant: 'marram-four',
});

const renumbered = ({ fact, by, at }: Fact, seq: number): Fact => ({
  format: '1',
  seq,
  id: `0f8c2c1e-6b1f-4c57-9d3f-5a0c7e1f9f5e.${seq}`,
  at,
  by,
  fact,
});

/** Where speed is measured: a folder of the disk that the checkout is on, since a temporary one may lie in memory. */
const scratch = (): string => mkdtempSync(join('node_modules/.cache/ferrule-speed', 'jobs-'));

/** Commands that are confirmed one after the other, beside a file that is synced after each line of the same length. */
async function measureAppends(facts: readonly Fact[]): Promise<readonly Row[]> {
  const folder = scratch();
  const store = folderStore(folder);
  const [first, second] = facts;
  if (first === undefined || second === undefined) throw new Error('there are no facts');
  const readings = facts.filter(({ fact }) => fact.kind === 'reading');
  const sample = readings[0] ?? second;
  let seq = 1;
  const made = store.create(headerOf('append'), bundle.text, [renumbered(first, seq)]);
  if (made.refused !== undefined) throw new Error(made.message);
  const bare = openSync(join(folder, 'bare'), 'w');
  const line = `${batchLine([renumbered(sample, 1000)], bundle.digest).line}\n`;
  const OURS = 'Ferrule, store.append';
  const BARE = 'write and fsync of the same bytes';
  const timings = await contest(
    [
      {
        name: OURS,
        run: (count) => {
          for (let one = 0; one < count; one++, seq++) {
            const done = store.append('append', [renumbered(sample, seq + 1)], seq);
            if (done.refused !== undefined) throw new Error(done.message);
          }
        },
      },
      {
        name: BARE,
        run: (count) => {
          for (let one = 0; one < count; one++) {
            writeSync(bare, line);
            fsyncSync(bare);
          }
        },
      },
    ],
    9,
  );
  closeSync(bare);
  const read = readJob(jobPath(folder, 'append'));
  if (read.facts?.length !== seq) throw new Error('a fact that was confirmed is not there');
  rmSync(folder, { recursive: true });
  return rowsOf('one command confirmed, on the disk', timings).map((row, place) => ({
    ...row,
    value: `${row.value}, ${Math.round(1e9 / (timings[place]?.nanoseconds ?? 1)).toLocaleString('en')} a second`,
  }));
}

/** Many small jobs in one store: without an index, with the one on the disk, and in a process that has listed before. */
function measureLists(facts: readonly Fact[]): readonly Row[] {
  const folder = scratch();
  const store = folderStore(folder);
  const head = facts.slice(0, FACTS_OF_A_JOB - 1).map((one, place) => renumbered(one, place + 1));
  const closed = facts.at(-1);
  if (closed === undefined) throw new Error('there are no facts');
  const all = [...head, renumbered(closed, FACTS_OF_A_JOB)];
  store.create(headerOf('first'), bundle.text, all);
  rmSync(jobPath(folder, 'first'));
  for (let number = 0; number < JOBS; number++) writeJob(folder, number, all);
  const cold = (): ReturnType<typeof folderStore> => folderStore(folder);
  const measure = `${JOBS.toLocaleString('en')} stored jobs`;
  const listed = (
    name: string,
    aim: number | undefined,
    work: () => number,
    wanted: number,
    rounds = 9,
  ): Row => {
    const milliseconds = median(
      Array.from({ length: rounds }, () => {
        const before = performance.now();
        const found = work();
        if (found !== wanted) throw new Error(`${found} jobs were found`);
        return performance.now() - before;
      }),
    );
    times.push(milliseconds);
    return {
      measure,
      of: name,
      value: duration(milliseconds * 1e6),
      ratio: `× ${significant(milliseconds / (times[0] ?? 1))}`,
      ...(aim === undefined ? {} : { aim: { says: `${aim} ms`, met: milliseconds < aim } }),
    };
  };
  const times: number[] = [];
  const used = { instrument: 'GAUGE-7' };
  const USED = JOBS / 100;
  const rows = [
    listed(
      'the names read and each file asked for its size, no more',
      undefined,
      () => namesAndSizes(folder),
      JOBS,
    ),
    listed('listed the first time, without an index', undefined, () => cold().list().jobs.length, JOBS, 1),
    listed('listed, with the index of the store', LIST_MILLISECONDS, () => cold().list().jobs.length, JOBS),
    listed(
      'one instrument looked for, with the index',
      SEARCH_MILLISECONDS,
      () => cold().list(used).jobs.length,
      USED,
    ),
    listed('listed again in the same process', LIST_MILLISECONDS, () => store.list().jobs.length, JOBS),
    listed(
      'one instrument, in the same process',
      SEARCH_MILLISECONDS,
      () => store.list(used).jobs.length,
      USED,
    ),
  ];
  rmSync(folder, { recursive: true });
  return rows;
}

/** A job as a store has it, written without a sync for each: ten thousand of them are prepared here. */
function writeJob(folder: string, number: number, facts: readonly Fact[]): void {
  const job = `2027-01-31-install-and-synchronise-${String(number).padStart(5, '0')}`;
  const line = headerLine(headerOf(job));
  const changed = facts.map((one) =>
    one.fact.kind === 'started'
      ? {
          ...one,
          fact: {
            ...one.fact,
            instruments: [...one.fact.instruments, { kind: 'gauge', identity: `GAUGE-${number % 100}` }],
          },
        }
      : one,
  );
  let text = `${line}\n`;
  let last = digestOf(line);
  for (let at = 0; at < changed.length; at += 2) {
    const batch = batchLine(changed.slice(at, at + 2), last);
    text += `${batch.line}\n`;
    last = batch.last;
  }
  writeFileSync(jobPath(folder, job), text);
}

function namesAndSizes(folder: string): number {
  let count = 0;
  for (const name of readdirSync(folder))
    if (name.endsWith('.jsonl') && statSync(join(folder, name)).size > 0) count += 1;
  return count;
}

/** A long record read with every digest checked, beside what parsing alone takes. */
async function measureReading(facts: readonly Fact[]): Promise<readonly Row[]> {
  const folder = scratch();
  const path = jobPath(folder, 'long');
  const line = headerLine(headerOf('long'));
  const pieces = [line];
  let last = digestOf(line);
  for (let seq = 1; seq <= FACTS; seq += 2) {
    const pair = [seq, seq + 1].flatMap((one) => {
      const fact = facts[(one - 1) % facts.length];
      return fact === undefined ? [] : [renumbered(fact, one)];
    });
    const batch = batchLine(pair, last);
    pieces.push(batch.line);
    last = batch.last;
  }
  writeFileSync(path, `${pieces.join('\n')}\n`);
  const megabytes = (statSync(path).size / 1e6).toFixed(0);
  const timings = await contest(
    [
      {
        name: 'Ferrule, readJob: every digest checked',
        run: (count) => {
          for (let one = 0; one < count; one++)
            if (readJob(path).facts?.length !== FACTS) throw new Error('the record is not read');
        },
      },
      {
        name: 'JSON.parse of each line',
        run: (count) => {
          for (let one = 0; one < count; one++) {
            const lines = readFileSync(path, 'utf8').split('\n').slice(0, -1);
            if (lines.map((text) => JSON.parse(text)).length !== FACTS / 2 + 1)
              throw new Error('lines are missing');
          }
        },
      },
      {
        name: 'SHA-256 of the file in one piece',
        run: (count) => {
          for (let one = 0; one < count; one++) digestOf(readFileSync(path));
        },
      },
    ],
    5,
  );
  rmSync(folder, { recursive: true });
  return rowsOf(`a record of ${FACTS.toLocaleString('en')} facts, ${megabytes} MB`, timings);
}

/** The store of jobs: adding to it, listing it, and reading a long record. */
export async function measureRecords(): Promise<readonly Row[]> {
  const facts = await demoFacts();
  return [...(await measureAppends(facts)), ...measureLists(facts), ...(await measureReading(facts))];
}
