import { type Command, decide, type Fact, type Job, type Plan, type Refusal } from '@ferrule/engine';
import type { LineReader } from '../terminal/line-reader.ts';
import { printable } from '../terminal/output.ts';
import { shorten, width, wrap } from '../terminal/wrap.ts';
import { describeFact } from './describe-fact.ts';
import type { Keep } from './keep.ts';
import { occasionOf } from './occasion.ts';
import { whatFollows } from './what-follows.ts';

/** A job that somebody works through in the terminal. */
export class Session {
  readonly plan: Plan;
  readonly reader: LineReader;
  /** Names of equipment and supplies that steps use, by id. */
  readonly titles: ReadonlyMap<string, string>;
  readonly #to: NodeJS.WriteStream;
  job: Job;
  keep: Keep;
  /** The person who acts now. */
  acting: string;
  /** A serial number that was refused as unexpected; `insist` records it all the same. */
  unexpected: { readonly entry: string; readonly value: string } | undefined;

  constructor(
    plan: Plan,
    titles: ReadonlyMap<string, string>,
    reader: LineReader,
    to: NodeJS.WriteStream,
    begun: { readonly job: Job; readonly keep: Keep; readonly acting: string },
  ) {
    this.plan = plan;
    this.titles = titles;
    this.reader = reader;
    this.#to = to;
    this.job = begun.job;
    this.keep = begun.keep;
    this.acting = begun.acting;
  }

  say(text: string): void {
    this.#to.write(`${printable(text)}\n`);
  }

  /** Gives a command as the acting person: its facts are kept and shown, or it is said why nothing has changed. */
  give(command: Command): boolean {
    const seq = this.job.seq;
    const decided = decide(this.plan, this.job, command, occasionOf(this.acting), seq);
    const insistable = decided.refusals?.some((one) => one.code === 'unexpected-identity') === true;
    this.unexpected =
      insistable && command.command === 'record' ? { entry: command.entry, value: command.value } : undefined;
    if (decided.refusals !== undefined) {
      this.refuse(decided.refusals);
      return false;
    }
    const unkept = this.keep.add(decided.facts, seq);
    if (unkept !== undefined) {
      this.say(wrap(`Not taken: ${unkept}`));
      return false;
    }
    this.job = decided.job;
    this.#show(decided.facts);
    return true;
  }

  refuse(refusals: readonly Refusal[]): void {
    for (const { message, remedy } of refusals) {
      this.say(wrap(message, 'Not taken: ', '  '));
      this.say(wrap(remedy, '  '));
    }
  }

  #show(facts: readonly Fact[]): void {
    for (const fact of facts) {
      // A hold is shown as the place where the job then stands.
      if (fact.fact.kind === 'held') continue;
      const said = `[${fact.seq}] ${describeFact(this.plan, fact)}`;
      // What was done has just been read in full.
      this.say(fact.fact.kind === 'done' ? shorten(`  ${said}`, width()) : wrap(said, '  ', '       '));
      const next = fact.fact.kind === 'judged' ? whatFollows(this.plan, this.job, fact.fact) : undefined;
      if (next !== undefined) this.say(wrap(next, '  Now: ', '       '));
    }
  }
}
