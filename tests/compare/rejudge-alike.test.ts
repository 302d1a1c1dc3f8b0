import { appendFileSync, copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { WrittenVerdict } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { folderStore, jobPath } from '@ferrule/records';
import { bundleOf, readPack } from '@ferrule/source';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { Judges } from '../../packages/compare/src/rejudge/judges.ts';
import { type ChunkResult, Rejudging } from '../../packages/compare/src/rejudge/rejudge-chunk.ts';
import { rejudgeJob } from '../../packages/compare/src/rejudge/rejudge-job.ts';
import { tallied } from '../../packages/compare/src/rejudge/tally.ts';
import { type Edit, edited, type Json } from './edit.ts';
import { inventedFolder } from './invented-packs.ts';
import { InventedJobs, type KnownAnswer } from './invented-store.ts';

const JOBS = 90;
const folder = mkdtempSync(join(tmpdir(), 'ferrule-alike-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let invented: InventedJobs;
let older: Json;
let newer: Json;
beforeAll(async () => {
  invented = await InventedJobs.make();
  const read = async (revision: '1.0.0' | '1.1.0'): Promise<Json> =>
    JSON.parse(JSON.stringify((await readPack(inventedFolder(revision))).document)) as Json;
  older = await read('1.0.0');
  newer = await read('1.1.0');
}, 60_000);

function storeOf(seed: number): string {
  const store = join(folder, String(seed));
  invented.write(store, JOBS, seed);
  return store;
}

function revisionOf(document: Json): { readonly bundle: string; readonly laid: [] } {
  expect(validate(document).diagnostics).toEqual([]);
  return { bundle: bundleOf(document).text, laid: [] };
}

/** What it comes to when each job is read and judged by itself, and nothing is remembered from one to the next. */
function oneByOne(store: string, document: Json, all: boolean) {
  const judges = new Judges(store, revisionOf(document));
  const kept = folderStore(store);
  const tally: Record<string, Record<string, number>> = {};
  const rows: object[] = [];
  const aside: string[] = [];
  for (const job of [...kept.names()].sort()) {
    const read = kept.read(job);
    const judge = read.fault === undefined ? judges.for(read.header) : undefined;
    if (read.fault !== undefined || judge === undefined || 'because' in judge) {
      aside.push(job);
      continue;
    }
    for (const one of rejudgeJob(judge, read.facts, { all })) {
      const name = judge.measures[one.measure]?.name ?? '';
      const of = name.replace(/@.*$/, '');
      const counts = tally[of] ?? {};
      tally[of] = counts;
      counts[tallied(one)] = (counts[tallied(one)] ?? 0) + 1;
      if (one.outcome === 'changed') {
        const { seq, outcome, was, is } = one;
        rows.push({ job, seq, of: name, outcome, was: inRow(was), is: inRow(is) });
      }
    }
  }
  return { tally, rows, aside };
}

const inRow = ({ verdict, value, limits }: WrittenVerdict) => ({ verdict, value, limits });

/** The same as a thread comes to it, some jobs at a time. */
function together(store: string, document: Json, all: boolean): ChunkResult[] {
  const rejudging = new Rejudging({ store, revision: revisionOf(document), all });
  const names = [...folderStore(store).names()].sort();
  return [names.slice(0, 3), names.slice(3, 50), names.slice(50)].map((some) => rejudging.chunk(some));
}

const inTogether = (chunks: readonly ChunkResult[]) => {
  const tally: Record<string, Record<string, number>> = {};
  for (const { from } of chunks)
    for (const { measures } of Object.values(from))
      for (const [of, one] of Object.entries(measures))
        for (const [what, count] of Object.entries(one.tally)) {
          const counts = tally[of] ?? {};
          tally[of] = counts;
          counts[what] = (counts[what] ?? 0) + count;
        }
  return { tally, aside: chunks.flatMap((one) => one.aside.map(({ job }) => job)) };
};

const procedure = '/procedures/survey';
/** In the last one verdicts that say the same rest on another reading now. */
const revisions: readonly (readonly [says: string, edits: readonly Edit[]])[] = [
  ['the next revision', []],
  ['one limit of it another still', [{ set: `${procedure}/tolerances/drops-limits/at-most`, to: '3' }]],
  [
    'a fact that limits depend on, the rule and the gauge',
    [
      { set: `${procedure}/tolerances/follower-lift-limits/rule`, to: 'guarded-acceptance' },
      { set: '/instruments/depth-gauge/maximum-permissible-error', to: '0.05 mm' },
    ],
  ],
  [
    'a tolerance of another reading',
    [{ set: `${procedure}/tolerances/exhaust-clearance-limits/of`, to: 'inlet-clearance' }],
  ],
];

describe('jobs that are read and judged together', () => {
  it.each(revisions)('come to what each comes to by itself: %s', (_, edits) => {
    const store = storeOf(1);
    const document = edited(newer, edits);
    for (const all of [false, true]) {
      const one = oneByOne(store, document, all);
      const chunks = together(store, document, all);
      expect(inTogether(chunks)).toEqual({ tally: one.tally, aside: one.aside });
      const rows = chunks.flatMap((chunk) => chunk.rows.filter(({ outcome }) => outcome === 'changed'));
      expect(rows).toMatchObject(one.rows);
      expect(rows).toHaveLength(one.rows.length);
    }
  });

  it('come to what is known of each of them', () => {
    const seed = 3;
    const store = join(folder, String(seed));
    const known = new Map<string, Record<string, number>>();
    for (let number = 0; number < JOBS; number++)
      for (const answer of invented.job(seed, number).answers) {
        const of = answer.tolerance.replace(/@.*$/, '');
        const counts = known.get(of) ?? {};
        known.set(of, counts);
        const said = inWords(answer);
        if (said === undefined) continue;
        counts[said] = (counts[said] ?? 0) + 1;
      }
    invented.write(store, JOBS, seed);
    const { tally } = inTogether(together(store, newer, true));
    const named: typeof tally = {};
    for (const [of, counts] of Object.entries(tally))
      named[of === 'guide-clearance-limits' ? 'guide-gap-limits' : of] = counts;
    expect(named).toMatchObject(Object.fromEntries(known));
  });

  it('a job that was broken, cut off or copied is found among jobs that are alike', () => {
    const store = storeOf(4);
    const [one = '', other = '', third = '', fourth = ''] = [...folderStore(store).names()].sort();
    const changed = readFileSync(jobPath(store, one), 'utf8').replace(/"digits":"0\.35"/, '"digits":"0.36"');
    writeFileSync(jobPath(store, one), changed);
    appendFileSync(jobPath(store, other), '{"facts":[{"at":"2024');
    writeFileSync(jobPath(store, third), '');
    copyFileSync(jobPath(store, fourth), jobPath(store, 'a-copy'));
    const chunks = together(store, newer, true);
    expect(chunks.flatMap(({ aside }) => aside.map(({ job, because }) => [job, because]))).toEqual([
      ['a-copy', 'broken'],
      [one, 'broken'],
      [third, 'empty'],
    ]);
    expect(chunks.reduce((sum, { jobs }) => sum + jobs, 0)).toBe(JOBS - 2);
  });

  it('come out as recorded under the revision that they were done by', () => {
    const { tally } = inTogether(together(storeOf(5), older, true));
    const others = Object.values(tally).flatMap((counts) =>
      Object.keys(counts).filter((what) => !/^same |^cannot not-taken$/.test(what)),
    );
    expect(others).toEqual([]);
  });
});

/** A known answer in the words of a tally; undefined of what is not counted: neither was it judged nor is it asked for. */
function inWords({ tolerance, was, now, without }: KnownAnswer): string | undefined {
  if (without === 'new-reading') return 'cannot no-such-reading';
  if (was === undefined) return tolerance.startsWith('spring-force') ? undefined : 'cannot not-taken';
  if (now === undefined) return `gone ${was}`;
  return was === now ? `same ${was}` : `changed ${was} to ${now}`;
}
