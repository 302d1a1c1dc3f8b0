import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type AskedReadings, type ReadingsAgainst, readingsOfStore } from '@ferrule/compare/readings';
import { jobPath } from '@ferrule/records';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeDemonstrationJobs } from '../../packages/cli/src/demonstration/demonstration-jobs.ts';
import { BORES, type InventedReading, inventedReadings } from './invented-readings.ts';
import { digitsOf, type InventedJob, InventedJobs } from './invented-store.ts';

const JOBS = 90;
const SEED = 20_261_126;
const folder = mkdtempSync(join(tmpdir(), 'ferrule-readings-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let jobs: readonly InventedJob[];

beforeAll(async () => {
  const made = await InventedJobs.make();
  made.write(folder, JOBS, SEED);
  jobs = Array.from({ length: JOBS }, (_, number) => made.job(SEED, number));
}, 120_000);

const schema: object = JSON.parse(
  readFileSync(new URL('../../packages/compare/schema/readings.schema.json', import.meta.url), 'utf8'),
);
const isValid = new Ajv2020({ strict: false }).compile(schema);

/** The document, held against its schema. */
function look(of: string, more: Partial<AskedReadings> = {}) {
  const answer = readingsOfStore({ store: folder, pack: 'marram-bore-survey', of, ...more });
  if (!('document' in answer)) throw new Error(JSON.stringify(answer));
  expect(isValid(JSON.parse(JSON.stringify(answer.document))), JSON.stringify(isValid.errors)).toBe(true);
  return answer.document;
}

function only(of: string, more: Partial<AskedReadings> = {}): ReadingsAgainst {
  const { against } = look(of, more);
  const [one] = against;
  if (one === undefined || against.length > 1) throw new Error(`${against.length} of ${of}`);
  return one;
}

/** Values in thousandths that count, of the bores and jobs that are asked for. */
const valuesOf = ({ name }: InventedReading, bores: readonly number[], among = jobs): readonly number[] =>
  among.flatMap(({ values }) => bores.flatMap((bore) => values.get(`${name}@${bore}`) ?? []));

/** What is known of these values, in whole numbers and apart from the code that is tested. */
function known(reading: InventedReading, bores: readonly number[], among = jobs) {
  const values = valuesOf(reading, bores, among);
  const words = among.flatMap(({ answers }) =>
    answers.flatMap(({ tolerance, was }) =>
      was !== undefined && bores.some((bore) => tolerance === `${reading.name}-limits@${bore}`) ? [was] : [],
    ),
  );
  const count = (word: string): number => words.filter((one) => one === word).length;
  const sum = values.reduce((all, one) => all + one, 0);
  const squares = values.reduce((all, one) => all + BigInt(one) * BigInt(one), 0n);
  const n = values.length;
  // n·Σx² − (Σx)² is whole; the root is taken of a quotient that a double holds to far more digits than are shown.
  const variance = Number(BigInt(n) * squares - BigInt(sum) * BigInt(sum)) / (n * (n - 1));
  const { low, high } = reading.was;
  // Values are written with the digits of their limits: 6.350 mm to 6.604 mm.
  const decimals = reading.name === 'washer-depth' ? 3 : reading.decimals;
  const unit = (text: string): string => `${text}${reading.unit === '' ? '' : ` ${reading.unit}`}`;
  return {
    count: n,
    ...{ conforming: count('conforming'), nonconforming: count('nonconforming') },
    ...{ inconclusive: count('inconclusive'), beyond: 0 },
    mean: unit((sum / n / 1000).toFixed(decimals + 2)),
    deviation: unit((Math.sqrt(variance) / 1000).toFixed(decimals + 2)),
    lowest: digitsOf({ ...reading, decimals }, Math.min(...values)),
    highest: digitsOf({ ...reading, decimals }, Math.max(...values)),
    ...(low === undefined || high === undefined
      ? {}
      : {
          near: values.filter((one) => {
            const margin = Math.min(one - low, high - one);
            return margin >= 0 && 10 * margin < high - low;
          }).length,
        }),
  };
}

describe('readings of a store of invented jobs', () => {
  it.each(inventedReadings)('$name: in all, by bore and by instrument', (reading) => {
    const one = only(`${reading.name}-limits`);
    expect(one.counted).toEqual(known(reading, BORES));
    expect(one.counted.count).toBeGreaterThan(JOBS);
    expect(one.revisions).toEqual(['1.0.0']);
    for (const { place, counted } of one.byBore) expect(counted).toEqual(known(reading, [Number(place)]));
    expect(one.byBore.map(({ place }) => Number(place))).toEqual(BORES);
    if (reading.instrument === 'depth-gauge') {
      expect(one.byInstrument.map(({ instrument }) => instrument)).toEqual(['DG-01', 'DG-02', 'DG-03']);
      for (const { instrument, counted } of one.byInstrument)
        expect(counted).toEqual(
          known(
            reading,
            BORES,
            jobs.filter(({ depthGauge }) => depthGauge === instrument),
          ),
        );
    } else expect(one.byInstrument).toHaveLength(reading.instrument === undefined ? 0 : 1);
  });

  it('have bins whose limits part them as the numbers do', () => {
    for (const reading of inventedReadings) {
      const { bins } = only(`${reading.name}-limits`);
      const values = valuesOf(reading, BORES);
      const { low = -Infinity, high = Infinity } = reading.was;
      if (bins === undefined) throw new Error(`${reading.name} has no bins`);
      expect(bins).toMatchObject({
        below: values.filter((one) => one < low).length,
        inside: values.filter((one) => one >= low && one <= high).length,
        above: values.filter((one) => one > high).length,
      });
      expect(bins.counts).toHaveLength(bins.edges.length + 1);
      expect(bins.counts.reduce((sum, one) => sum + one, 0)).toBe(values.length);
    }
  });

  it('leave out and name what was struck', () => {
    const { struck, struckCount, again } = look('plunger-travel-limits');
    const known = jobs.reduce((sum, { text }) => sum + text.split('"kind":"struck"').length - 1, 0);
    const all = inventedReadings.reduce((sum, { name }) => sum + look(`${name}-limits`).struckCount, 0);
    expect([all, again]).toEqual([known, 0]);
    expect(struckCount).toBeGreaterThan(0);
    expect(struck).toHaveLength(struckCount);
    for (const { job, seq, struckBy, of, value, by } of struck) {
      expect(of).toMatch(/^plunger-travel-limits@[1-6]$/);
      expect([value, by]).toEqual(['19.40 mm', 'technician A']);
      expect(struckBy).toBeGreaterThan(seq);
      expect(jobs.map((one) => one.job)).toContain(job);
    }
  });

  it('are found by what is measured as well, and bounded to days, a revision, a variant', () => {
    const whole = only('plunger-travel');
    expect(whole).toEqual(only('plunger-travel-limits'));
    const early = only('plunger-travel', { until: '2024-01-03' });
    // Eight jobs a day, from the first of January 2024 on.
    const [reading] = inventedReadings.filter(({ name }) => name === 'plunger-travel');
    if (reading === undefined) throw new Error('no such reading');
    expect(early.counted).toEqual(known(reading, BORES, jobs.slice(0, 24)));
    const late = only('plunger-travel', { from: '2024-01-04' });
    expect(early.counted.count + late.counted.count).toBe(whole.counted.count);
    expect(look('plunger-travel', { from: '2030-01-01' })).toMatchObject({ jobs: 0, against: [] });
    const none = { store: folder, pack: 'marram-bore-survey', of: 'plunger-travel' };
    for (const more of [{ revision: '1.1.0' }, { variant: 'marram-four' }, { procedure: 'x' }, { pack: 'x' }])
      expect(readingsOfStore({ ...none, ...more })).toMatchObject({
        nothing: 'no-job',
        unknown: [{ name: Object.keys(more)[0], value: Object.values(more)[0] }],
      });
    const empty = mkdtempSync(join(tmpdir(), 'ferrule-no-job-'));
    expect(readingsOfStore({ ...none, store: empty })).toEqual({ nothing: 'no-job' });
    rmSync(empty, { recursive: true });
    const misnamed = readingsOfStore({ ...none, of: 'plunger-travels' });
    expect(misnamed).toMatchObject({
      nothing: 'no-such-name',
      names: expect.arrayContaining(['plunger-travel']),
    });
  });

  it('leave out files that cannot be relied on, and jobs whose revision is not kept', () => {
    const copy = mkdtempSync(join(tmpdir(), 'ferrule-readings-'));
    cpSync(folder, copy, { recursive: true });
    const [first, second] = jobs;
    const path = jobPath(copy, first?.job ?? '');
    writeFileSync(path, readFileSync(path, 'utf8').replace('"digits":"0.', '"digits":"1.'));
    const whole = look('inlet-clearance', { store: copy });
    expect(whole.faults).toEqual([{ job: first?.job, message: expect.stringContaining('Line') }]);
    const all = known(inventedReadings[0] ?? fail(), BORES, jobs.slice(1));
    expect(whole.against[0]?.counted).toEqual(all);
    rmSync(join(copy, 'packs'), { recursive: true });
    expect(look('inlet-clearance', { store: copy })).toMatchObject({
      ...{ jobs: 0, against: [], faultCount: JOBS },
      faults: expect.arrayContaining([{ job: second?.job, message: expect.stringContaining('not kept') }]),
    });
    rmSync(copy, { recursive: true });
  });
});

function fail(): never {
  throw new Error('there are readings');
}

it('has what a procedure that is performed within another measures and judges under the names of that procedure', async () => {
  const store = mkdtempSync(join(tmpdir(), 'ferrule-performed-'));
  expect(
    await makeDemonstrationJobs(join(import.meta.dirname, '../..'), store, new Date('2026-01-05T09:30:00Z')),
  ).toBeUndefined();
  const against = (of: string) => {
    const answer = readingsOfStore({ store, pack: 'marram-unit-pumps', of });
    if (!('document' in answer)) throw new Error(JSON.stringify(answer));
    return answer.document.against;
  };
  for (const [name, procedures] of [
    ['oil-pressure-limit', ['first-start']],
    // It is performed twice: before the work, and after it.
    ['travel-limits', ['baseline', 'as-left']],
    ['hours-run', ['take-in']],
  ] as const) {
    const apart = procedures.flatMap((one) => against(`${one}.${name}`));
    expect(apart.length).toBeGreaterThan(0);
    const byName = (some: readonly ReadingsAgainst[]): readonly ReadingsAgainst[] =>
      [...some].sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1));
    expect(byName(against(name))).toEqual(byName(apart));
  }
  rmSync(store, { recursive: true, force: true });
});
