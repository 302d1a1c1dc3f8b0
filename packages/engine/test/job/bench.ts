import { expect } from 'vitest';
import {
  type Command,
  decide,
  describeCells,
  type Fact,
  type FactBody,
  type Job,
  nodeAt,
  offers,
  type Plan,
  type RefusalCode,
  type StartRequest,
  start,
} from '../../src/index.ts';
import { replay } from '../../src/replay.ts';
import { planOf, type Written } from '../small-pack.ts';

export const technician = 'technician A';
export const lead = 'lead B';
export const second = 'second C';

export const request: StartRequest = {
  bundle: 'sha256:0',
  persons: [
    { role: 'technician', person: technician },
    { role: 'lead', person: lead },
    { role: 'second', person: second },
  ],
  instruments: [],
};

type Said = { readonly by?: string; readonly at?: string; readonly expectedSeq?: number };

/** A job on the bench: commands go in one by one, and whatever is refused has to change nothing. */
export class Bench {
  readonly plan: Plan;
  job: Job;
  #count = 0;
  #minutes = 0;

  constructor(document: Written | Plan, more: Partial<StartRequest> = {}) {
    this.plan = 'nodes' in document && 'cells' in document ? (document as Plan) : planOf(document as Written);
    const occasion = { at: this.now(), by: technician, id: 'start' };
    const begun = start(this.plan, { ...request, ...more }, occasion);
    if (begun.job === undefined) throw new Error(JSON.stringify(begun.refusals));
    this.job = begun.job;
  }

  /** Each command comes a minute after the one before. */
  now(): string {
    return new Date(Date.UTC(2027, 0, 4, 8, this.#minutes++)).toISOString();
  }

  #decide(command: Command, { by = technician, at = this.now(), expectedSeq }: Said) {
    this.#count += 1;
    return decide(this.plan, this.job, command, { at, by, id: `c${this.#count}` }, expectedSeq);
  }

  /** Does a command, which has to be taken; answers the kinds of its facts. */
  does(command: Command, said: Said = {}): readonly FactBody[] {
    const answer = this.#decide(command, said);
    if (answer.job === undefined)
      throw new Error(`${JSON.stringify(command)}: ${JSON.stringify(answer.refusals)}`);
    this.job = answer.job;
    return answer.facts.map((one) => one.fact);
  }

  /** Gives a command that has to be refused, and sees that nothing has changed. */
  refuses(command: Command, code: RefusalCode, said: Said = {}): void {
    const { job } = this;
    const before = JSON.stringify({ ...job, bytes: [...job.control.bytes], doers: [...job.doers] });
    const answer = this.#decide(command, said);
    expect(answer.refusals?.map((one) => one.code)).toContain(code);
    for (const refusal of answer.refusals ?? []) {
      expect(refusal.message).not.toBe('');
      expect(refusal.remedy).not.toBe('');
    }
    expect(answer.job).toBeUndefined();
    expect(answer.facts).toBeUndefined();
    expect(this.job).toBe(job);
    expect(JSON.stringify({ ...job, bytes: [...job.control.bytes], doers: [...job.doers] })).toBe(before);
  }

  done(step: string, said: Said = {}): readonly FactBody[] {
    return this.does({ command: 'done', step }, said);
  }

  record(entry: string, value: string, said: Said = {}): readonly FactBody[] {
    return this.does({ command: 'record', entry, value }, said);
  }

  release(by: 'concession' | 'rework' | 'witness', said: Said = {}): readonly FactBody[] {
    return this.does({ command: 'release', by, reason: 'because' }, said);
  }

  /** Strikes the fact that last took an entry, or did a step. */
  strike(what: string): readonly FactBody[] {
    return this.does({ command: 'strike', target: this.seqOf(what), reason: 'misread' });
  }

  /** Strikes it though nothing leads on from there: that is refused unless the person insists. */
  strikeAllTheSame(what: string): readonly FactBody[] {
    const strike = { command: 'strike', target: this.seqOf(what), reason: 'misread' } as const;
    this.refuses(strike, 'no-way-back');
    return this.does({ ...strike, insist: true });
  }

  seqOf(what: string): number {
    const found = this.job.facts.findLast(
      ({ fact }) =>
        ('entry' in fact && fact.kind !== 'struck' && fact.entry === what) ||
        (fact.kind === 'done' && fact.step === what),
    );
    return found?.seq ?? -1;
  }

  /** Path of the node that the job is at; `end` when every node is done. */
  get at(): string {
    return nodeAt(this.plan, this.job.control)?.path ?? 'end';
  }

  /** Id of the open hold. */
  get hold(): string | undefined {
    return offers(this.plan, this.job).hold?.id;
  }

  /** What is offered, in short: `record gap`, `done undo`. */
  get offered(): readonly string[] {
    return offers(this.plan, this.job).offers.map((one) =>
      'entry' in one
        ? `${one.offer} ${one.entry}`
        : 'step' in one
          ? `${one.offer} ${one.step}`
          : 'by' in one
            ? `${one.offer} ${one.by}`
            : one.offer,
    );
  }

  cell(name: string): string | undefined {
    return describeCells(this.plan, this.job.control).get(name);
  }

  get facts(): readonly Fact[] {
    return this.job.facts;
  }

  /** Every verdict so far, in order: `gap-limits high`. */
  get verdicts(): readonly string[] {
    return this.facts.flatMap(({ fact }) => {
      if (fact.kind !== 'judged') return [];
      const { verdict } = fact;
      return `${fact.of} ${(verdict.verdict === 'nonconforming' ? verdict.side : undefined) ?? verdict.verdict}`;
    });
  }

  /** Closes the job as finished, and sees that the stored facts alone make the same job again. */
  closes(): void {
    this.does({ command: 'close' });
    expect(this.job.control.closed).toBe('finished');
    this.replays();
  }

  replays(): void {
    const stored = JSON.parse(JSON.stringify(this.facts)) as readonly Fact[];
    const { job, fault } = replay(this.plan, stored);
    expect(fault).toBeUndefined();
    expect(job?.control).toEqual(this.job.control);
    expect(job?.seq).toBe(this.job.seq);
    expect(job?.doers).toEqual(this.job.doers);
    expect(job?.since).toBe(this.job.since);
    expect(job?.taken).toEqual(this.job.taken);
    expect(job?.underWay.map((one) => one ?? [])).toEqual(this.job.underWay.map((one) => one ?? []));
  }
}
