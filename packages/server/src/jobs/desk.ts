import { type Command, decide, type Fact, type Job, type Pack, type Plan } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { askedDigest, isJobId, type JobHeader, type JobStore } from '@ferrule/records';
import type { Digest } from '@ferrule/signing';
import { type Problem, problem } from '../problem.ts';
import { Recent } from '../recent.ts';
import type { Plans } from './plans.ts';

/** A job as its facts make it, with the pack that it runs on. */
export interface OpenJob {
  readonly header: JobHeader;
  readonly pack: Pack;
  readonly plan: Plan;
  readonly job: Job;
  /** What was asked for so far, by the id of the command. It grows with the job. */
  readonly batches: Map<string, Batch>;
  /** Digest of the last fact. */
  readonly last: Digest;
  /** That of its record, by which it shows that somebody else has added to it or changed it. */
  readonly stamp: string;
}

/** The facts that answer one command. */
interface Batch {
  readonly first: number;
  readonly count: number;
  /** Digest of what was asked for; missing where it was not asked for over the network. */
  readonly asked?: Digest;
}

/** What a person asks of a job over the network. */
export interface Asked {
  readonly id: string;
  readonly expectedSeq: number;
  readonly by: string;
  readonly command: Command;
}

/** The facts that answer a command, and the job as it is now. */
export interface Answered {
  readonly facts: readonly Fact[];
  readonly open: OpenJob;
}

/** How many facts are kept ready, in all jobs together; some 60 MB. */
const MOST_FACTS = 50_000;
/** What a job takes besides its facts, in facts. */
const JOB_ITSELF = 100;

/**
 * The jobs that are worked on. Each is kept ready as long as there is room, and is read again when its record was changed since it
 * was last seen, by whomever: several processes can work on one store.
 */
export class Desk {
  readonly #store: JobStore;
  readonly #plans: Plans;
  readonly #ready = new Recent<OpenJob>(MOST_FACTS);
  readonly #watchers = new Map<string, Set<() => void>>();

  constructor(store: JobStore, plans: Plans) {
    this.#store = store;
    this.#plans = plans;
  }

  /** A job as it is now. */
  async open(id: string): Promise<OpenJob | Problem> {
    const stamp = isJobId(id) ? this.#store.stamp(id) : undefined;
    if (stamp === undefined) return storeGone(this.#store) ?? noSuchJob(id);
    const ready = this.#ready.get(id);
    if (ready?.stamp === stamp) return ready;
    const read = this.#store.read(id);
    if (read.fault !== undefined) return unreadable(id, read.fault.line);
    const { header, facts, asked, last } = read;
    if (facts.length === 0) return unreadable(id, 2);
    const pack = await this.#plans.of(header);
    if ('code' in pack) return pack;
    const replayed = replay(pack.plan, facts);
    if (replayed.job === undefined) {
      const { seq, message } = replayed.fault;
      return problem(
        'unreadable-job',
        `Fact ${seq} of ${id} does not follow from the ones before: ${message}`,
        {
          operands: { job: id, fact: seq },
        },
      );
    }
    // What is torn at the end counts for nothing.
    const batches = batchesOf(facts, asked);
    const open = { header, ...pack, job: replayed.job, batches, last, stamp };
    this.#keep(open);
    return open;
  }

  /**
   * Gives a command to a job. The same id with the same request answers what it answered the first time. Between looking and
   * writing nothing else happens in this process, and another one makes the number stale.
   */
  async give(id: string, asked: Asked, at: () => string): Promise<Answered | Problem> {
    const open = await this.open(id);
    if ('code' in open) return open;
    const digest = askedDigest({ by: asked.by, command: asked.command });
    const before = this.answered(open, asked.id, digest);
    if (before !== undefined) return before;
    const { job, plan } = open;
    if (asked.expectedSeq !== job.seq) return stale(id, asked.expectedSeq, job.seq);
    const decided = decide(
      plan,
      job,
      asked.command,
      { at: at(), by: asked.by, id: asked.id },
      asked.expectedSeq,
    );
    if (decided.refusals !== undefined) return refused(decided.refusals);
    const appended = this.#store.append(id, decided.facts, asked.expectedSeq, digest);
    if (appended.refused === 'stale-sequence') {
      this.#ready.delete(id);
      const now = await this.open(id);
      if ('code' in now) return now;
      return this.answered(now, asked.id, digest) ?? stale(id, asked.expectedSeq, now.job.seq);
    }
    if (appended.refused !== undefined) {
      this.#ready.delete(id);
      return notWritten();
    }
    const end = this.#store.end(id);
    if (end?.seq !== appended.appended || end.stamp === undefined)
      throw new Error('the store does not know the end of what it has just added');
    open.batches.set(asked.id, { first: asked.expectedSeq + 1, count: decided.facts.length, asked: digest });
    const now: OpenJob = { ...open, job: decided.job, last: end.last, stamp: end.stamp };
    this.#keep(now);
    this.tell(id);
    return { facts: decided.facts, open: now };
  }

  /** The answer that an id had, or that it was used for something else; undefined for a new one. */
  answered(open: OpenJob, id: string, asked: Digest): Answered | Problem | undefined {
    const batch = open.batches.get(id);
    if (batch === undefined) return undefined;
    if (batch.asked !== asked) return idUsed(id);
    const from = batch.first - 1;
    return { facts: open.job.facts.slice(from, from + batch.count), open };
  }

  /** Calls back when facts are added to a job here; whoever watches looks for those of other processes. */
  watch(id: string, changed: () => void): () => void {
    const all = this.#watchers.get(id) ?? new Set();
    this.#watchers.set(id, all.add(changed));
    return () => {
      all.delete(changed);
      if (all.size === 0) this.#watchers.delete(id);
    };
  }

  tell(id: string): void {
    for (const changed of this.#watchers.get(id) ?? []) changed();
  }

  #keep(open: OpenJob): void {
    this.#ready.set(open.header.job, open, open.job.seq + JOB_ITSELF);
  }
}

function batchesOf(facts: readonly Fact[], asked: ReadonlyMap<number, Digest>): Map<string, Batch> {
  const batches = new Map<string, Batch>();
  for (const { seq, id } of facts) {
    // A batch has the ids `id.1`, `id.2` …
    const command = id.slice(0, id.lastIndexOf('.'));
    const before = batches.get(command);
    const digest = asked.get(seq);
    batches.set(
      command,
      before === undefined
        ? { first: seq, count: 1, ...(digest === undefined ? {} : { asked: digest }) }
        : { ...before, count: before.count + 1 },
    );
  }
  return batches;
}

export const idUsed = (id: string): Problem =>
  problem('id-used', `The id ${id} was used for another request.`, { pointer: '/id', operands: { id } });

const stale = (job: string, expectedSeq: number, seq: number): Problem =>
  problem('stale-sequence', `${job} is at fact ${seq}; this was made at ${expectedSeq}.`, {
    pointer: '/expectedSeq',
    operands: { expectedSeq, seq },
  });

export const refused = (refusals: Problem['refusals'] & object): Problem =>
  problem('refused', refusals.map((one) => one.message).join(' '), { refusals });

/** What the store says names files of this machine, which is nobody else's concern. */
export const notWritten = (): Problem =>
  problem('not-written', 'The store did not take it. Nothing was recorded.');

/** That the store is not where it was; undefined when it is. */
export const storeGone = (store: JobStore): Problem | undefined =>
  store.gone() === undefined ? undefined : problem('store-gone', 'The folder of the store is not there.');

export const noSuchJob = (job: string): Problem =>
  problem('no-such-job', `There is no job ${shown(job)} in the store.`, { operands: { job: shown(job) } });

export const unreadable = (job: string, line: number): Problem =>
  problem(
    'unreadable-job',
    line === 0
      ? `The record of ${job} cannot be read.`
      : `Line ${line} of the record of ${job} is not as it was written.`,
    { operands: { job, line } },
  );

/** What somebody has asked for, short enough to be shown. */
const shown = (text: string): string => (text.length > 80 ? `${text.slice(0, 80)}…` : text);
