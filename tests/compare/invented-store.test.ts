import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Fact } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { folderStore } from '@ferrule/records';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { batchLine } from '../../packages/records/src/lines.ts';
import { readInvented } from './invented-packs.ts';
import { addedReading, BORES, inventedReadings, wordOn } from './invented-readings.ts';
import { digitsOf, gaugeSets, InventedJobs, markOf, saidOf, valueAt } from './invented-store.ts';
import { recordBlocks } from './recorded-blocks.ts';

const JOBS = 120;
const SEED = 20_261_125;
const folder = mkdtempSync(join(tmpdir(), 'ferrule-invented-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let jobs: InventedJobs;
let tally: ReturnType<InventedJobs['write']>;
beforeAll(async () => {
  jobs = await InventedJobs.make();
  tally = jobs.write(folder, JOBS, SEED);
}, 60_000);

/** The verdict that counts on each tolerance: the latest whose reading was not struck. */
function verdictsIn(facts: readonly Fact[]): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  for (const { fact } of facts) {
    if (fact.kind === 'judged') found.set(fact.of, fact.verdict.verdict);
    if (fact.kind === 'struck' && fact.entry !== undefined) found.delete(fact.entry.replace('@', '-limits@'));
  }
  return found;
}

describe('a store of invented jobs', () => {
  it('verifies, replays with the engine, and says the verdicts that the whole numbers say', async () => {
    const { plan } = await readInvented('1.0.0');
    const store = folderStore(folder);
    const states = new Set<string>();
    let isStruck = false;
    for (let number = 0; number < JOBS; number++) {
      const { job, answers } = jobs.job(SEED, number);
      const verified = store.verify(job);
      expect(verified.findings).toEqual([]);
      states.add(verified.state ?? '');
      const { facts } = store.read(job);
      if (facts === undefined) throw new Error(`${job} cannot be read`);
      expect(replay(plan, facts).fault).toBeUndefined();
      isStruck ||= facts.some(({ fact }) => fact.kind === 'struck');
      const known = answers.flatMap(({ tolerance, was }) => (was === undefined ? [] : [[tolerance, was]]));
      expect(Object.fromEntries(verdictsIn(facts))).toEqual(Object.fromEntries(known));
    }
    expect([...states].sort()).toEqual(
      ['abandoned', 'closed', 'held', 'open'].filter((one) => states.has(one)),
    );
    expect(states.has('closed') && states.has('abandoned') && isStruck).toBe(true);
  });

  it('says of the newer limits what the engine says when it works with them', async () => {
    const { plan, bundle } = await readInvented('1.1.0');
    const words = new Set<string>();
    for (const { instruments, gauges } of gaugeSets)
      for (let beside = -8; beside <= 8; beside++) {
        const readings = inventedReadings.flatMap((one) => {
          const { now, nowNamed = one.name, coins } = one;
          const value = valueAt(one, Math.max(-coins / 2, Math.min(beside, coins / 2)));
          return now === undefined ? [] : [{ ...one, now, named: nowNamed, value }];
        });
        const { entries } = recordBlocks(plan, bundle.digest, instruments, (entry) => {
          const reading = readings.find((one) => entry.startsWith(`${one.named}@`));
          if (reading !== undefined) return [digitsOf(reading, reading.value)];
          return [entry.startsWith(addedReading) ? '0.20 mm' : markOf(entry)];
        });
        for (const { named, now, value, instrument = '' } of readings)
          for (const bore of BORES) {
            const said = entries
              .get(`${named}@${bore}`)
              ?.flat()
              .flatMap(({ body }) => /"verdict":"(.*?)"/.exec(body)?.[1] ?? []);
            const known = wordOn(now, value, gauges.get(instrument));
            words.add(known);
            expect([named, value, said]).toEqual([named, value, [known]]);
          }
      }
    expect(words.size).toBe(3);
  }, 60_000);

  it('has sixty readings in a whole job, and lines as the store itself writes them', () => {
    const store = folderStore(folder);
    const { job, text } = jobs.job(SEED, 0);
    const read = store.read(job);
    if (read.facts === undefined) throw new Error(read.fault.message);
    const counted = new Set(read.facts.flatMap(({ fact }) => (fact.kind === 'reading' ? [fact.entry] : [])));
    expect(counted.size).toBe(60);
    const [, first = ''] = text.split('\n');
    const { before } = JSON.parse(first).facts[0];
    const length = JSON.parse(first).facts.length;
    expect(batchLine(read.facts.slice(0, length), before).line).toBe(first);
  });

  it('is the same to the byte for the same seed, and another for another', async () => {
    const again = await InventedJobs.make();
    for (const number of [0, 1, 77]) {
      expect(again.job(SEED, number).text).toBe(jobs.job(SEED, number).text);
      expect(again.job(SEED + 1, number).text).not.toBe(jobs.job(SEED, number).text);
    }
  });

  it('has every kind of answer, and as many of each tolerance as there are jobs', () => {
    const kinds = new Set<string>();
    for (const [tolerance, of] of tally) {
      expect([tolerance, [...of.values()].reduce((sum, one) => sum + one, 0)]).toEqual([tolerance, JOBS]);
      for (const said of of.keys()) kinds.add(said);
    }
    expect([...kinds].sort()).toEqual([
      'conforming → conforming',
      'conforming → inconclusive',
      'conforming → nonconforming',
      'gone',
      'inconclusive → conforming',
      'inconclusive → nonconforming',
      'new-reading',
      'nonconforming → conforming',
      'nonconforming → inconclusive',
      'nonconforming → nonconforming',
      'not-taken',
    ]);
    const { answers } = jobs.job(SEED, 0);
    expect(new Set(answers.map(saidOf)).size).toBeGreaterThan(2);
  });
});
