import type { Fact } from '@ferrule/engine';
import type { Digest, ReleaseRecord } from '@ferrule/signing';
import type { JobHeader } from './job-header.ts';
import type { JobContent, JobFault } from './read-job.ts';
import type { UnknownValue } from './unknown-value.ts';

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
  /** Who was in which role, from the start or later. */
  readonly roles: readonly RoleTaken[];
  /** Their identities. */
  readonly instruments: readonly string[];
  /** On which days something was measured or tightened with which instrument, also what was struck later. */
  readonly uses: readonly DayOfUse[];
  /** Serial numbers of parts, found and fitted. */
  readonly parts: readonly string[];
  /** What was filled in where a pack asks for the lot of a part: in fields called `lot`, or with `-lot` at their end. */
  readonly lots: readonly string[];
  /** Every hold that was ever open. */
  readonly holds: readonly string[];
  /** Holds released by concession, and instruments that were allowed. */
  readonly concessions: number;
  /** By whom each of them was given: the hold, or the identity of the instrument. */
  readonly granted: readonly Granted[];
  /** Verdicts that were nonconforming when they were given; struck ones count too. */
  readonly nonconforming: number;
  readonly signed: boolean;
}

export interface RoleTaken {
  readonly role: string;
  readonly person: string;
}

export interface DayOfUse {
  readonly instrument: string;
  /** As it was at the place: 2026-03-02. */
  readonly day: string;
}

/** A hold released by concession, or an instrument that was allowed. */
export interface Granted {
  readonly of: string;
  readonly by: string;
}

/** Which jobs are asked for: those to which all of this applies. Texts have to be the same, sign by sign. */
export interface JobQuery {
  readonly state?: JobState;
  readonly instrument?: string;
  readonly part?: string;
  readonly person?: string;
  /** With a person, the role that the person had; else that anybody had it. */
  readonly role?: string;
  readonly hold?: string;
  /** The hold, or the instrument, that a concession is about. */
  readonly concession?: string;
  /** Who gave a concession; with `concession`, who gave that one. */
  readonly grantedBy?: string;
  readonly lot?: string;
  /** Days, such as 2026-03-02, both inside: the job went on in them; with an instrument, it was used in them. */
  readonly from?: string;
  readonly until?: string;
  readonly pack?: string;
  readonly revision?: string;
  /** Of the bundle that the job is pinned to. */
  readonly digest?: string;
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
  /** Where no job was found: the names that were asked for and that no job of the store has. */
  readonly unknown?: readonly UnknownValue[];
}

/** The field by which packs name the engine. */
const ENGINE = 'engine-serial';
/** The fields by which packs ask for the lot of a part. */
const LOT = /(?:^|-)lot(?:@|$)/;

/** What a list says of a job; undefined when it has no facts. */
export function summaryOf(
  { header, facts, last }: Pick<JobContent, 'header' | 'facts' | 'last'>,
  signed: boolean,
): JobSummary | undefined {
  const [first] = facts;
  const latest = facts.at(-1);
  if (first === undefined || latest === undefined) return undefined;
  const persons = new Set<string>();
  const roles = new Distinct<RoleTaken>();
  const uses = new Distinct<DayOfUse>();
  const granted = new Distinct<Granted>();
  const lots = new Set<string>();
  const instruments = new Set<string>();
  const parts = new Set<string>();
  const holds = new Set<string>();
  let engine: string | undefined;
  let carriedEngine: string | undefined;
  let concessions = 0;
  let nonconforming = 0;
  for (const { fact, at, by } of facts) {
    if ('instrument' in fact && typeof fact.instrument === 'object') {
      instruments.add(fact.instrument.identity);
      if (fact.kind !== 'equipped') uses.add({ instrument: fact.instrument.identity, day: at.slice(0, 10) });
    }
    switch (fact.kind) {
      case 'started':
        for (const { role, person } of fact.persons) {
          persons.add(person);
          roles.add({ role, person });
        }
        for (const one of fact.instruments) instruments.add(one.identity);
        break;
      case 'joined':
        persons.add(fact.person);
        roles.add({ role: fact.role, person: fact.person });
        break;
      case 'identified':
        parts.add(fact.identity);
        break;
      case 'filled':
        if (fact.entry === ENGINE) engine = fact.text;
        if (LOT.test(fact.entry)) lots.add(fact.text);
        break;
      case 'carried':
        carriedEngine = fact.from.engine;
        break;
      case 'held':
        holds.add(fact.hold);
        break;
      case 'allowed':
        concessions += 1;
        granted.add({ of: fact.instrument, by });
        break;
      case 'released':
        if (fact.by !== 'concession') break;
        concessions += 1;
        granted.add({ of: fact.hold, by });
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
    roles: roles.all,
    instruments: [...instruments],
    uses: uses.all,
    parts: [...parts],
    lots: [...lots],
    holds: [...holds],
    concessions,
    granted: granted.all,
    nonconforming,
    signed,
  };
}

/** Small objects, each once, in the order in which they came. */
class Distinct<T extends object> {
  readonly #known = new Map<string, T>();

  add(one: T): void {
    this.#known.set(JSON.stringify(Object.values(one)), one);
  }

  get all(): readonly T[] {
    return [...this.#known.values()];
  }
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
  const { state, instrument, part, lot, person, role, hold, concession, grantedBy } = query;
  const { pack, revision, digest, engine, after } = query;
  return (
    (state === undefined || one.state === state) &&
    isInTime(query, one) &&
    (instrument === undefined || one.instruments.includes(instrument)) &&
    (part === undefined || one.parts.includes(part)) &&
    (lot === undefined || one.lots.includes(lot)) &&
    (person === undefined || one.persons.includes(person)) &&
    (role === undefined ||
      one.roles.some((taken) => taken.role === role && (person === undefined || taken.person === person))) &&
    (hold === undefined || one.holds.includes(hold)) &&
    ((concession === undefined && grantedBy === undefined) ||
      one.granted.some(
        ({ of, by }) =>
          (concession === undefined || of === concession) && (grantedBy === undefined || by === grantedBy),
      )) &&
    (pack === undefined || one.pack.id === pack) &&
    (revision === undefined || one.pack.revision === revision) &&
    (digest === undefined || one.pack.digest === digest) &&
    (engine === undefined || one.engine === engine) &&
    (after === undefined || one.job > after)
  );
}

/** Days are compared as they were written at the place of the job. */
function isInTime({ from, until, instrument }: JobQuery, one: JobSummary): boolean {
  if (from === undefined && until === undefined) return true;
  const [first, last] = [from ?? '', until ?? '9'];
  if (instrument !== undefined)
    return one.uses.some((use) => use.instrument === instrument && use.day >= first && use.day <= last);
  return one.last.slice(0, 10) >= first && one.started.slice(0, 10) <= last;
}
