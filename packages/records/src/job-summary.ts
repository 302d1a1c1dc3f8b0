import type { Fact } from '@ferrule/engine';
import type { Digest, ReleaseRecord } from '@ferrule/signing';
import type { JobHeader } from './job-header.ts';
import type { JobContent, JobFault } from './read-job.ts';

/** How a job stands, as far as its facts say without the pack. */
export type JobState = 'open' | 'parked' | 'held' | 'closed' | 'abandoned';

export const jobStates: readonly JobState[] = ['open', 'parked', 'held', 'closed', 'abandoned'];

/** What a list of jobs says of each. */
export interface JobSummary {
  readonly job: string;
  readonly pack: { readonly id: string; readonly revision: string; readonly digest: string };
  readonly overlay?: { readonly id: string; readonly revision: string };
  readonly procedure: string;
  readonly variant: string;
  /** How the pack was released, as it was known when the job began; missing where it was unsigned. */
  readonly release?: ReleaseRecord;
  /** What the field `engine-serial` holds, or the engine of the job that a value was taken over from. */
  readonly engine?: string;
  /** Times of the first and the last fact, as they were written: RFC 3339 with the offset of the place. */
  readonly started: string;
  readonly last: string;
  readonly facts: number;
  readonly lastDigest: Digest;
  readonly state: JobState;
  readonly persons: readonly string[];
  /** Their identities. */
  readonly instruments: readonly string[];
  /** Serial numbers of parts, found and fitted. */
  readonly parts: readonly string[];
  /** Every hold that was ever open. */
  readonly holds: readonly string[];
  /** Holds released by concession, and instruments that were allowed. */
  readonly concessions: number;
  /** Verdicts that were nonconforming when they were given; struck ones count too. */
  readonly nonconforming: number;
  readonly signed: boolean;
}

/** Which jobs are asked for: those to which all of this applies. Texts have to be the same, sign by sign. */
export interface JobQuery {
  readonly state?: JobState;
  readonly instrument?: string;
  readonly part?: string;
  readonly person?: string;
  readonly hold?: string;
  readonly pack?: string;
  readonly revision?: string;
  readonly engine?: string;
  /** Only jobs behind this one in the order of names: the last of the page before. */
  readonly after?: string;
  readonly limit?: number;
}

export interface JobListing {
  readonly jobs: readonly JobSummary[];
  /** Files of the store that cannot be relied on, whatever was asked for. */
  readonly faults: readonly { readonly job: string; readonly fault: JobFault }[];
  /** There are more jobs than the limit let through. */
  readonly more?: true;
}

/** The field by which packs name the engine. */
const ENGINE = 'engine-serial';

/** What a list says of a job; undefined when it has no facts. */
export function summaryOf(
  { header, facts, last }: Pick<JobContent, 'header' | 'facts' | 'last'>,
  signed: boolean,
): JobSummary | undefined {
  const [first] = facts;
  const latest = facts.at(-1);
  if (first === undefined || latest === undefined) return undefined;
  const persons = new Set<string>();
  const instruments = new Set<string>();
  const parts = new Set<string>();
  const holds = new Set<string>();
  let engine: string | undefined;
  let carriedEngine: string | undefined;
  let concessions = 0;
  let nonconforming = 0;
  for (const { fact } of facts) {
    if ('instrument' in fact && typeof fact.instrument === 'object')
      instruments.add(fact.instrument.identity);
    switch (fact.kind) {
      case 'started':
        for (const one of fact.persons) persons.add(one.person);
        for (const one of fact.instruments) instruments.add(one.identity);
        break;
      case 'joined':
        persons.add(fact.person);
        break;
      case 'identified':
        parts.add(fact.identity);
        break;
      case 'filled':
        if (fact.entry === ENGINE) engine = fact.text;
        break;
      case 'carried':
        carriedEngine = fact.from.engine;
        break;
      case 'held':
        holds.add(fact.hold);
        break;
      case 'allowed':
        concessions += 1;
        break;
      case 'released':
        if (fact.by === 'concession') concessions += 1;
        break;
      case 'judged':
        if (fact.verdict.verdict === 'nonconforming') nonconforming += 1;
        break;
      default:
        break;
    }
  }
  const found = engine ?? carriedEngine;
  return {
    ...headOf(header),
    ...(found === undefined || found === '' ? {} : { engine: found }),
    started: first.at,
    last: latest.at,
    facts: facts.length,
    lastDigest: last,
    state: stateOf(facts),
    persons: [...persons],
    instruments: [...instruments],
    parts: [...parts],
    holds: [...holds],
    concessions,
    nonconforming,
    signed,
  };
}

const headOf = ({
  job,
  pack: { id, revision, digest },
  overlay,
  procedure,
  variant,
  release,
}: JobHeader) => ({
  job,
  pack: { id, revision, digest },
  ...(overlay === undefined ? {} : { overlay: { id: overlay.id, revision: overlay.revision } }),
  procedure,
  variant,
  ...(release === undefined ? {} : { release }),
});

/** How a job stands. A hold whose ground was struck counts as left: only the pack could say more. */
export function stateOf(facts: readonly Fact[]): JobState {
  let isParked = false;
  let isHeld = false;
  for (const { fact } of facts) {
    if (fact.kind === 'closed') return fact.finished ? 'closed' : 'abandoned';
    if (fact.kind === 'parked') isParked = true;
    if (fact.kind === 'resumed') isParked = false;
    if (fact.kind === 'held') isHeld = true;
    if (fact.kind === 'released' || fact.kind === 'struck') isHeld = false;
  }
  if (isParked) return 'parked';
  return isHeld ? 'held' : 'open';
}

/** Whether a query asks for a job. */
export function asksFor(query: JobQuery, one: JobSummary): boolean {
  const { state, instrument, part, person, hold, pack, revision, engine, after } = query;
  return (
    (state === undefined || one.state === state) &&
    (instrument === undefined || one.instruments.includes(instrument)) &&
    (part === undefined || one.parts.includes(part)) &&
    (person === undefined || one.persons.includes(person)) &&
    (hold === undefined || one.holds.includes(hold)) &&
    (pack === undefined || one.pack.id === pack) &&
    (revision === undefined || one.pack.revision === revision) &&
    (engine === undefined || one.engine === engine) &&
    (after === undefined || one.job > after)
  );
}
