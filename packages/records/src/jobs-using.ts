import type { Fact, FactBody, InstrumentUsed } from '@ferrule/engine';
import { AlikeLines } from './alike-lines.ts';
import type { JobHeader } from './job-header.ts';
import { type JobFault, readJob, readNamedJob } from './read-job.ts';
import { jobPath, listJobs } from './store-folder.ts';

/** A verdict that followed a reading, and the fact that struck what it rests on. */
export interface VerdictAfter {
  readonly of: string;
  readonly verdict: string;
  readonly seq: number;
  readonly struckBy?: number;
}

/** One thing that an instrument took part in. */
export interface InstrumentUse {
  readonly seq: number;
  readonly at: string;
  readonly by: string;
  readonly what: 'named' | 'allowed' | 'reading' | 'tightened';
  readonly step?: string;
  readonly entry?: string;
  /** What was read, or what the wrench was set to. */
  readonly value?: string;
  /** The verdicts that were given at that step after it, before it was taken again. */
  readonly verdicts?: readonly VerdictAfter[];
  /** The fact that struck it. */
  readonly struckBy?: number;
  /** The instrument as it was then, with what was known of it. */
  readonly instrument?: InstrumentUsed;
}

/** A job in which an instrument was used, or a file of the store that cannot be relied on. */
export type JobUsing =
  | {
      readonly job: string;
      readonly header: JobHeader;
      readonly isClosed: boolean;
      readonly uses: readonly InstrumentUse[];
      readonly fault?: undefined;
    }
  | { readonly job: string; readonly fault: JobFault };

/** Days, such as 2026-03-02, both inside; one that is not said bounds nothing. */
export interface Days {
  readonly from?: string;
  readonly until?: string;
}

const isIn = ({ from = '', until = '9' }: Days, at: string): boolean =>
  at.slice(0, 10) >= from && at.slice(0, 10) <= until;

/**
 * The jobs of a store in which an instrument took part, by its identity, in the order of their names, and the files that
 * cannot be read; with days only what it took part in on them, by the time at the place of the job. One job is held at a time, so a store may be large; there is no index, and every file is read whole.
 */
export function* jobsUsing(
  store: string,
  identity: string,
  days: Days = {},
): Generator<JobUsing, void, undefined> {
  const lines = new AlikeLines();
  for (const job of listJobs(store)) {
    const read = readNamedJob(jobPath(store, job), lines);
    if (read.fault !== undefined) {
      yield { job, fault: read.fault };
      continue;
    }
    const { header, facts } = read;
    const uses = usesOf(facts, identity).filter(({ at }) => isIn(days, at));
    const isClosed = facts.some(({ fact }) => fact.kind === 'closed');
    if (uses.length > 0) yield { job, header, isClosed, uses };
  }
}

/** What an instrument took part in, among the facts of one job. */
export function usesOf(facts: readonly Fact[], identity: string): readonly InstrumentUse[] {
  return facts.flatMap((one, index) => {
    const use = useIn(one.fact, identity);
    if (use === undefined) return [];
    const { seq, at, by, fact } = one;
    const verdicts = fact.kind === 'reading' ? verdictsAfter(fact, facts.slice(index + 1)) : [];
    const struckBy = facts.find(({ fact: later }) => strikes(later, seq))?.seq;
    return [
      {
        seq,
        at,
        by,
        ...use,
        ...(verdicts.length === 0 ? {} : { verdicts }),
        ...(struckBy === undefined ? {} : { struckBy }),
      },
    ];
  });
}

type Use = Omit<InstrumentUse, 'seq' | 'at' | 'by' | 'verdicts' | 'struckBy'>;

function useIn(fact: FactBody, identity: string): Use | undefined {
  switch (fact.kind) {
    case 'started': {
      const instrument = fact.instruments.find((one) => one.identity === identity);
      return instrument && { what: 'named', instrument };
    }
    case 'equipped':
      return fact.instrument.identity === identity
        ? { what: 'named', instrument: fact.instrument }
        : undefined;
    case 'allowed':
      return fact.instrument === identity ? { what: 'allowed', value: fact.reason } : undefined;
    case 'reading': {
      const { step, entry, digits, unit, instrument, beyond } = fact;
      if (instrument?.identity !== identity) return undefined;
      const sign = beyond === undefined ? '' : beyond === 'above' ? '> ' : '< ';
      return { what: 'reading', step, entry, value: `${sign}${digits} ${unit}`.trim(), instrument };
    }
    case 'done': {
      const { step, instrument, settings } = fact;
      if (instrument?.identity !== identity) return undefined;
      const value = settings?.map((one) => one.set).join(', ') ?? '';
      return { what: 'tightened', step, ...(value === '' ? {} : { value }), instrument };
    }
    default:
      return undefined;
  }
}

const strikes = (fact: FactBody, seq: number): boolean =>
  fact.kind === 'struck' && (fact.target === seq || fact.also?.includes(seq) === true);

function verdictsAfter(
  { step, entry }: Extract<FactBody, { kind: 'reading' }>,
  later: readonly Fact[],
): readonly VerdictAfter[] {
  const found: VerdictAfter[] = [];
  for (const [index, { seq, fact }] of later.entries()) {
    // Another repeat of the same reading leads to the same verdict.
    if (fact.kind === 'reading' && fact.entry === entry && found.length > 0) break;
    if (fact.kind === 'struck' && fact.entry === entry) break;
    if (fact.kind !== 'judged' || fact.step !== step) continue;
    // With what was taken at its step before it, a verdict is struck too.
    const struckBy = later
      .slice(index)
      .find(
        ({ fact: one }) =>
          one.kind === 'struck' && one.entry !== undefined && one.step === step && one.target < seq,
      )?.seq;
    found.push({
      of: fact.of,
      verdict: fact.verdict.verdict,
      seq,
      ...(struckBy === undefined ? {} : { struckBy }),
    });
  }
  return found;
}

/** The identities of all instruments that the jobs of a store name; files that cannot be read are left aside. */
export function instrumentsIn(store: string): ReadonlySet<string> {
  const found = new Set<string>();
  for (const job of listJobs(store)) {
    const read = readJob(jobPath(store, job));
    for (const { fact } of read.fault === undefined ? read.facts : []) {
      if (fact.kind === 'started') for (const one of fact.instruments) found.add(one.identity);
      if (fact.kind === 'equipped') found.add(fact.instrument.identity);
    }
  }
  return found;
}
