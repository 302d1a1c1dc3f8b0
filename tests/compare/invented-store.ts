import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { InstrumentUsed } from '@ferrule/engine';
import { type JobHeader, jobFormat } from '@ferrule/records';
import { canonical, digestOf } from '@ferrule/signing';
import { inventedProcedure, readInvented } from './invented-packs.ts';
import {
  addedReading,
  BORES,
  type Gauge,
  type InventedReading,
  inventedReadings,
  type Word,
  wordOn,
} from './invented-readings.ts';
import { type Recorded, type RecordedBlock, recordBlocks } from './recorded-blocks.ts';

/** What is known of one verdict of a job: what it was, and what revision 1.1.0 makes of it. */
export interface KnownAnswer {
  /** The tolerance by its name in 1.0.0, with its bore; the added one by its name in 1.1.0. */
  readonly tolerance: string;
  /** Undefined where it was not judged then. */
  readonly was?: Word;
  /** Undefined where it cannot be judged, or is not judged any more. */
  readonly now?: Word;
  /** Why there is no pair of verdicts. */
  readonly without?: 'not-taken' | 'new-reading' | 'gone';
}

/** One invented job: its file, and what is known of it. */
export interface InventedJob {
  readonly job: string;
  readonly text: string;
  readonly answers: readonly KnownAnswer[];
  /** What counts of each reading, in thousandths of its unit, by name and bore. */
  readonly values: ReadonlyMap<string, number>;
  readonly depthGauge: string;
}

/** How many of each pair of verdicts: `conforming → nonconforming`, or why there is none. */
export type KnownTally = ReadonlyMap<string, ReadonlyMap<string, number>>;

/** One in so many jobs was broken off, is still under way, has a reading struck and taken again at each bore. */
const [BROKEN_OFF, UNDER_WAY, STRUCK] = [40, 90, 25];

interface GaugeSet {
  readonly depthGauge: string;
  readonly shift: number;
  readonly instruments: readonly InstrumentUsed[];
  readonly gauges: ReadonlyMap<string, Gauge>;
}

/** The coarse one does not suffice for the guarded limits; the second reads one step high. */
const depthGauges = [
  { identity: 'DG-01', error: 30, shift: 0 },
  { identity: 'DG-02', error: 30, shift: 1 },
  { identity: 'DG-03', error: 80, shift: 0 },
] as const;

export const gaugeSets: readonly GaugeSet[] = depthGauges.map(({ identity, error, shift }) => ({
  depthGauge: identity,
  shift,
  instruments: [
    instrument('feeler-gauge', 'FG-01', '0.05 mm', '0.055 mm'),
    instrument('depth-gauge', identity, '0.01 mm', `0.${String(error).padStart(3, '0')} mm`),
    instrument('bench-gauge', 'BG-01', '1 bar', '2 bar'),
    instrument('spring-balance', 'SB-01', '0.5 N', '0.5 N'),
  ],
  gauges: new Map([['depth-gauge', { resolution: 10, error }]]),
}));

function instrument(
  kind: string,
  identity: string,
  resolution: string,
  maximumPermissibleError: string,
): InstrumentUsed {
  return { kind, identity, resolution, maximumPermissibleError };
}

/** Steps beside the centre that a reading can come to: heads above a half, one more for bore 5, one for the gauge. */
const MOST_BESIDE = 10;
const CLOSED_SECONDS = 25;

/** Jobs of the invented pack in revision 1.0.0, each worked out from its number and the seed alone. */
export class InventedJobs {
  readonly bundle: { readonly text: string; readonly digest: string };
  readonly #recorded: ReadonlyMap<string, Recorded>;

  private constructor(bundle: InventedJobs['bundle'], recorded: ReadonlyMap<string, Recorded>) {
    this.bundle = bundle;
    this.#recorded = recorded;
  }

  /** Works a few jobs through with the engine: of each value that a reading can have, with each set of gauges. */
  static async make(): Promise<InventedJobs> {
    const { plan, bundle } = await readInvented('1.0.0');
    const recorded = new Map<string, Recorded>();
    for (const [set, { instruments }] of gaugeSets.entries())
      for (let beside = -MOST_BESIDE + 2; beside <= MOST_BESIDE; beside++)
        for (const isStruck of [false, true]) {
          const valuesOf = (entry: string): readonly string[] => {
            const reading = inventedReadings.find((one) => entry.startsWith(`${one.name}@`));
            if (reading === undefined) return [markOf(entry)];
            const half = reading.coins / 2;
            const last = digitsOf(reading, valueAt(reading, Math.min(Math.max(beside, -half), half + 2)));
            return isStruck ? [digitsOf(reading, valueAt(reading, 0)), last] : [last];
          };
          recorded.set(
            keyOf(set, beside, isStruck),
            recordBlocks(plan, bundle.digest, instruments, valuesOf),
          );
        }
    return new InventedJobs(bundle, recorded);
  }

  /** The job of a number, counted from 0. */
  job(seed: number, number: number): InventedJob {
    const chance = new Chance(seed, number);
    const set = chance.below(gaugeSets.length);
    const gaugeSet = gaugeSets[set];
    const first = this.#recorded.get(keyOf(set, 0, false));
    if (gaugeSet === undefined || first === undefined) throw new RangeError('no such set');
    const isBroken = chance.below(BROKEN_OFF) === 0;
    const isUnderWay = !isBroken && chance.below(UNDER_WAY) === 0;
    const end = isBroken || isUnderWay ? chance.below(first.entries.size) : first.entries.size;
    const job = `survey-${String(number).padStart(7, '0')}`;
    const writing = new Writing(job, number, this.bundle.digest);
    writing.add(first.opening);
    const values = new Map<string, number>();
    const answers: KnownAnswer[] = [];
    let place = 0;
    for (const [entry, block] of first.entries) {
      const isTaken = place++ < end;
      const [name = '', bore = ''] = entry.split('@');
      const reading = inventedReadings.find((one) => one.name === name);
      if (reading === undefined) {
        if (isTaken) writing.add(block);
        continue;
      }
      const beside = chance.heads(reading.coins) - reading.coins / 2 + shiftOf(reading, bore, gaugeSet);
      const isStruck = chance.below(STRUCK) === 0;
      const tolerance = `${name}-limits@${bore}`;
      if (!isTaken) {
        answers.push({ tolerance, without: 'not-taken' });
        continue;
      }
      const found = this.#recorded.get(keyOf(set, beside, isStruck))?.entries.get(entry);
      if (found === undefined) throw new RangeError(`${entry}, ${beside} steps beside its centre`);
      writing.add(found);
      const value = valueAt(reading, beside);
      values.set(entry, value);
      const gauge = gaugeSet.gauges.get(reading.instrument ?? '');
      const was = wordOn(reading.was, value, gauge);
      if (reading.now === undefined) answers.push({ tolerance, was, without: 'gone' });
      else answers.push({ tolerance, was, now: wordOn(reading.now, value, gauge) });
    }
    for (const bore of BORES)
      answers.push({ tolerance: `${addedReading}-limits@${bore}`, without: 'new-reading' });
    if (isBroken) writing.add(first.brokenOff);
    else if (!isUnderWay) writing.add(first.closing);
    return { job, text: writing.text, answers, values, depthGauge: gaugeSet.depthGauge };
  }

  /** Writes a store of so many jobs, and adds up what is known of them. */
  write(folder: string, jobs: number, seed: number, from = 0): KnownTally {
    mkdirSync(join(folder, 'packs'), { recursive: true });
    writeFileSync(
      join(folder, 'packs', `${this.bundle.digest.slice('sha256:'.length)}.json`),
      this.bundle.text,
    );
    const tally = new Map<string, Map<string, number>>();
    for (let number = from; number < from + jobs; number++) {
      const { job, text, answers } = this.job(seed, number);
      writeFileSync(join(folder, `${job}.jsonl`), text);
      for (const answer of answers) {
        const of = tally.get(answer.tolerance) ?? new Map<string, number>();
        tally.set(answer.tolerance, of);
        const said = saidOf(answer);
        of.set(said, (of.get(said) ?? 0) + 1);
      }
    }
    return tally;
  }
}

/** An answer as it is counted. */
export const saidOf = ({ was, now, without }: KnownAnswer): string => without ?? `${was} → ${now}`;

const keyOf = (set: number, beside: number, isStruck: boolean): string => `${set} ${beside} ${isStruck}`;

/** A number of drops is never below nothing. */
export const valueAt = ({ centre, step }: InventedReading, beside: number): number =>
  Math.max(0, centre + beside * step);

export const digitsOf = ({ decimals, unit }: InventedReading, value: number): string =>
  `${(value / 1000).toFixed(decimals)} ${unit}`.trim();

const shiftOf = ({ instrument: kind }: InventedReading, bore: string, { shift }: GaugeSet): number =>
  (bore === '5' ? 1 : 0) + (kind === 'depth-gauge' ? shift : 0);

/** Texts that each job has for itself stand in the recorded blocks as these marks. */
const ENGINE = 'ME-0000';
const LOT = 'SL-0000';
const PUMP = 'MP-000';
export function markOf(entry: string): string {
  if (entry === 'engine-serial') return ENGINE;
  return entry === 'seal-lot' ? LOT : PUMP + (/@(\d)/.exec(entry)?.[1] ?? '');
}

const four = (value: number): string => String(value % 10_000).padStart(4, '0');

const JOBS_OF_A_LOT = 500;
const JOBS_OF_A_DAY = 8;
const DAY = 86_400_000;
const FIRST_DAY = Date.UTC(2024, 0, 1);

/** The text of a job file as it grows. */
class Writing {
  readonly #job: string;
  readonly #day: string;
  readonly #engine: string;
  readonly #lot: string;
  readonly #firstPump: number;
  readonly #lines: string[];
  #last: string;
  #seq = 0;
  #batch = 0;

  constructor(job: string, number: number, digest: string) {
    this.#job = job;
    this.#day = new Date(FIRST_DAY + Math.floor(number / JOBS_OF_A_DAY) * DAY).toISOString().slice(0, 10);
    this.#engine = `ME-${four(number)}`;
    this.#lot = `SL-${four(Math.floor(number / JOBS_OF_A_LOT))}`;
    this.#firstPump = number * BORES.length;
    const header: JobHeader = {
      job,
      pack: { id: 'marram-bore-survey', revision: '1.0.0', path: '../marram-bore-survey/1.0.0', digest },
      ...inventedProcedure,
    };
    const line = canonical({ format: jobFormat, ...header });
    this.#last = digestOf(line);
    this.#lines = [line];
  }

  get text(): string {
    return `${this.#lines.join('\n')}\n`;
  }

  add(block: RecordedBlock): void {
    for (const batch of block) {
      this.#batch += 1;
      const facts: string[] = [];
      for (const [place, { by, body, back, rest = '' }] of batch.entries()) {
        this.#seq += 1;
        const whole = back === undefined ? this.#own(body) : `${body}${this.#seq - back}${rest}`;
        const id = `${this.#job}-${this.#batch}.${place + 1}`;
        const text = `{"at":"${this.#day}T${timeOf(this.#seq)}+01:00","before":"${this.#last}","by":"${by}","fact":${whole},"format":"1","id":"${id}","seq":${this.#seq}}`;
        this.#last = digestOf(text);
        facts.push(text);
      }
      this.#lines.push(`{"facts":[${facts.join(',')}],"last":"${this.#last}"}`);
    }
  }

  #own(body: string): string {
    return body.includes('-000')
      ? body
          .replace(ENGINE, this.#engine)
          .replace(LOT, this.#lot)
          .replace(/MP-000(\d)/g, (_, bore) => `MP-${four(this.#firstPump + Number(bore))}`)
      : body;
  }
}

const times: string[] = [];

/** The time of day of a fact: the first at seven. */
function timeOf(seq: number): string {
  times[seq] ??= new Date((7 * 3600 + seq * CLOSED_SECONDS) * 1000).toISOString().slice(11, 19);
  return times[seq];
}

/** Numbers by chance from a seed and the number of a job (SplitMix32, a public domain mixing function; from memory). */
class Chance {
  #state: number;

  constructor(seed: number, job: number) {
    this.#state = (Math.imul(seed, 0x9e3779b1) ^ Math.imul(job + 1, 0x85ebca6b)) | 0;
  }

  #next(): number {
    this.#state = (this.#state + 0x9e3779b9) | 0;
    let mixed = this.#state ^ (this.#state >>> 16);
    mixed = Math.imul(mixed, 0x21f0aaad);
    mixed ^= mixed >>> 15;
    mixed = Math.imul(mixed, 0x735a2d97);
    return (mixed ^ (mixed >>> 15)) >>> 0;
  }

  below(most: number): number {
    return this.#next() % most;
  }

  heads(coins: number): number {
    let bits = this.#next() >>> (32 - coins);
    let count = 0;
    for (; bits !== 0; bits &= bits - 1) count += 1;
    return count;
  }
}
