import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type MeasureTally, type RejudgedStore, rejudgeStore } from '@ferrule/compare/rejudge';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readInvented } from './invented-packs.ts';
import { inventedReadings } from './invented-readings.ts';
import { InventedJobs } from './invented-store.ts';

const [JOBS, SEED] = [200, 7];
const folder = mkdtempSync(join(tmpdir(), 'ferrule-spread-'));
const store = join(folder, 'jobs');
afterAll(() => rmSync(folder, { recursive: true, force: true }));

let done: RejudgedStore;
/** What counts of each reading, in thousandths of its unit, by its name. */
const values = new Map<string, number[]>();
beforeAll(async () => {
  const invented = await InventedJobs.make();
  invented.write(store, JOBS, SEED);
  for (let number = 0; number < JOBS; number++)
    for (const [entry, value] of invented.job(SEED, number).values) {
      const [name = ''] = entry.split('@');
      values.set(name, [...(values.get(name) ?? []), value]);
    }
  const { bundle } = await readInvented('1.1.0');
  const revision = { bundle: bundle.text, laid: [] };
  done = await rejudgeStore({ store, revision, all: false, progressFile: join(folder, 'progress') });
}, 60_000);
afterAll(() => done.close());

const number = (text: string | undefined): number => Number.parseFloat(text ?? '');

describe('the values of all jobs, against the limits of both revisions', () => {
  // The seat of the washer is read in millimetres and shown in inches: its digits are rounded ones.
  const told = inventedReadings.filter(({ name, now }) => now !== undefined && name !== 'washer-depth');

  it.each(told)('$name: lie as the whole numbers of the jobs lie', ({ name, nowNamed = name, was, now }) => {
    const spread =
      done.from[0]?.measures[`${nowNamed === 'guide-clearance' ? nowNamed : name}-limits`]?.spread;
    const all = values.get(name) ?? [];
    if (spread === undefined) throw new Error(`${name} has none`);
    expect(all.length).toBeGreaterThan(1000);
    expect(spread.values).toBe(all.length);
    expect(number(spread.lowest) * 1000).toBeCloseTo(Math.min(...all), 6);
    expect(number(spread.highest) * 1000).toBeCloseTo(Math.max(...all), 6);
    const mean = all.reduce((sum, one) => sum + one, 0) / all.length;
    const variance = all.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (all.length - 1);
    expect(Math.abs(number(spread.mean) * 1000 - mean)).toBeLessThanOrEqual(5);
    expect(number(spread.standardDeviation) * 1000).toBeCloseTo(
      Math.sqrt(variance),
      -Math.log10(variance) / 2 + 2,
    );
    for (const [held, limits] of [
      [spread.older, was],
      [spread.newer, now],
    ] as const) {
      const below = all.filter((one) => one < (limits?.low ?? -Infinity)).length;
      const above = all.filter((one) => one > (limits?.high ?? Infinity)).length;
      expect(held).toMatchObject({ below, above, inside: all.length - below - above });
    }
    const edges = spread.edges.map((edge) => number(edge) * 1000);
    const binned = [-Infinity, ...edges].map((from, place) => {
      const to = edges[place] ?? Infinity;
      return all.filter((one) => one >= from && one < to).length;
    });
    expect(spread.bins).toEqual(binned);
  });

  it('are the same however the jobs are split over threads and chunks, and missing where nothing is judged', async () => {
    const measures: Readonly<Record<string, MeasureTally>> = done.from[0]?.measures ?? {};
    expect(measures['arm-backlash-limits']?.spread).toBeUndefined();
    expect(measures['spring-force-limits']?.spread).toBeUndefined();
    const { bundle } = await readInvented('1.1.0');
    const all = await rejudgeStore({
      ...{ store, revision: { bundle: bundle.text, laid: [] }, all: true, threads: 0 },
      progressFile: join(folder, 'all'),
    });
    const spreadsOf = ({ from }: RejudgedStore) =>
      Object.entries(from[0]?.measures ?? {}).map(([name, { spread }]) => [name, spread]);
    expect(spreadsOf(all)).toEqual(spreadsOf(done));
    all.close();
  });
});
