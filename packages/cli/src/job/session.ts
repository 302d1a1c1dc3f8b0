import type { InstrumentList } from '@ferrule/check';
import {
  type Command,
  decide,
  type Fact,
  type InstrumentUsed,
  type Job,
  type Origin,
  type Pack,
  type Plan,
  type Refusal,
  writeQuantity,
} from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { holderOf, inTitles, shorten, type Telling, whatFollows } from '@ferrule/print';
import type { LineReader } from '../terminal/line-reader.ts';
import { printable } from '../terminal/output.ts';
import { width, wrap } from '../terminal/wrap.ts';
import { betweenSteps } from './between-steps.ts';
import { describeFact, FactLog } from './describe-fact.ts';
import type { Keep } from './keep.ts';
import { occasionOf, writeClock } from './occasion.ts';
import { verdictNotes } from './verdict-notes.ts';
import { waitAt, writeLeft } from './waiting.ts';
import { offeredOf } from './write-offered.ts';

/** Commands that are taken from somebody who insists. */
type Insistable = Extract<Command, { command: 'record' | 'strike' }>;

/** An instrument that was refused, why, and the role that may allow it. */
export interface Allowable {
  readonly instrument: string;
  readonly because: Extract<Command, { command: 'allow' }>['because'];
  readonly role: string;
}

/** Acts for which another person steps in, and after which the one before goes on. */
const steppedIn: readonly Command['command'][] = ['witness', 'release', 'omit', 'allow'];

/** A job that somebody works through in the terminal. */
export class Session implements Telling {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly reader: LineReader;
  /** The instruments that the shop has, where a list was named. */
  readonly list: InstrumentList | undefined;
  readonly #to: NodeJS.WriteStream;
  job: Job;
  keep: Keep;
  #acting: string;
  #before: string | undefined;
  /** What was refused last, if it is taken from somebody who insists. */
  insistable: Insistable | undefined;
  /** The job whose values were taken over last. */
  origin: Origin | undefined;
  /** The folder on which packs stand beside that of this job. */
  readonly shelf: string;
  /** What was refused last for an instrument, if somebody can allow it all the same. */
  allowable: Allowable | undefined;

  constructor(
    plan: Plan,
    pack: Pack,
    reader: LineReader,
    to: NodeJS.WriteStream,
    begun: {
      readonly job: Job;
      readonly keep: Keep;
      readonly acting: string;
      readonly list: InstrumentList | undefined;
      readonly shelf: string;
    },
  ) {
    this.plan = plan;
    this.pack = pack;
    this.reader = reader;
    this.#to = to;
    this.job = begun.job;
    this.keep = begun.keep;
    this.#acting = begun.acting;
    this.list = begun.list;
    this.shelf = begun.shelf;
  }

  get facts(): readonly Fact[] {
    return this.job.facts;
  }

  /** The person who acts now. */
  get acting(): string {
    return this.#acting;
  }

  /** Lets another person act; the one before goes on after a witness, a release or an omission. */
  letAct(person: string): void {
    if (person !== this.#acting) this.#before = person === this.#before ? undefined : this.#acting;
    this.#acting = person;
  }

  say(text: string): void {
    this.#to.write(`${printable(text)}\n`);
  }

  /** Gives a command as the acting person: its facts are kept and shown, or it is said why nothing has changed. */
  give(command: Command): boolean {
    const seq = this.job.seq;
    const decided = decide(this.plan, this.job, command, occasionOf(this.#acting), seq);
    this.insistable =
      decided.refusals !== undefined && isInsistable(command, decided.refusals) ? command : undefined;
    if (decided.refusals !== undefined) {
      this.refuse(decided.refusals);
      this.#offerConcession(decided.refusals);
      return false;
    }
    const unkept = this.keep.add(decided.facts, seq);
    if (unkept !== undefined) {
      if (unkept.facts === undefined) this.say(wrap(unkept.message, 'Not taken: ', '  '));
      else this.#catchUp(unkept.facts, seq);
      return false;
    }
    this.job = decided.job;
    this.allowable = undefined;
    this.#show(decided.facts);
    if (this.#before !== undefined && steppedIn.includes(command.command)) {
      this.#acting = this.#before;
      this.#before = undefined;
      this.say(wrap(`${this.#acting} acts again.`, '  '));
    }
    return true;
  }

  /** Takes in what another terminal or a server has added to this job, and says so: what was typed here was made without knowing it. */
  #catchUp(facts: readonly Fact[], seen: number): void {
    const { job, fault } = replay(this.plan, facts);
    if (job === undefined) {
      this.say(
        wrap(
          `The job file was changed, and fact ${fault.seq} does not follow: ${fault.message}`,
          'Not taken: ',
          '  ',
        ),
      );
      this.say(wrap('Type quit, and look at the file before this job is gone on with.', '  '));
      return;
    }
    const added = facts.slice(seen);
    const which = added.length === 1 ? `fact ${seen + 1}` : `facts ${seen + 1} to ${facts.length}`;
    this.say(
      wrap(`Another terminal or server has gone on with this job, and added ${which}:`, 'Not taken: ', '  '),
    );
    this.job = job;
    this.allowable = undefined;
    this.insistable = undefined;
    const log = new FactLog();
    for (const fact of added) this.say(log.write(this, fact));
    this.say(wrap('Here is where it stands now. Type again what still holds.', '  '));
  }

  /** Says who may allow the instrument that was just refused, where the pack lets somebody. */
  #offerConcession(refusals: readonly Refusal[]): void {
    for (const { code: because, about: instrument } of refusals) {
      if (because !== 'instrument-overdue' && because !== 'beyond-instrument') continue;
      const kind = this.job.instruments.find((one) => one.identity === instrument)?.kind;
      const declared = this.plan.instruments.find((one) => one.id === kind);
      const role = because === 'instrument-overdue' ? declared?.overdueBy : declared?.beyondRangeBy;
      if (role === undefined || instrument === undefined) continue;
      this.allowable = { instrument, because, role };
      this.say(
        wrap(
          `To allow ${instrument} in this job, ${holderOf(this, role)} types who and the name, then allow and the reason. Whoever allows it takes no reading with it.`,
          '  ',
        ),
      );
      return;
    }
  }

  /** Instruments of the shop's list that are in date and not in use in this job. */
  #atHand(): readonly InstrumentUsed[] {
    const { plan, list, job } = this;
    return plan.instruments
      .flatMap((kind) => offeredOf(plan, list, kind.id))
      .filter(({ isOverdue }) => !isOverdue)
      .map(({ used }) => used)
      .filter(({ identity }) => !job.instruments.some((one) => one.identity === identity));
  }

  refuse(refusals: readonly Refusal[]): void {
    for (const refusal of refusals) {
      const { message, remedy } = this.#inWords(refusal);
      this.say(wrap(message, 'Not taken: ', '  '));
      this.say(wrap(remedy, '  '));
    }
  }

  /** A refusal with titles for ids, and with the words that can be typed here. */
  #inWords({ code, message, remedy, about }: Refusal): { message: string; remedy: string } {
    const wait = code === 'too-soon' ? waitAt(this) : undefined;
    if (wait !== undefined) {
      const { time, began, ends } = wait;
      const now = new Date();
      if (now < began)
        return {
          message: `the clock was set back. ${writeQuantity(time)} have to pass since ${writeClock(began)}, and it shows ${writeClock(now)} now, so how long was waited is not known.`,
          remedy: `Set the clock right, then type done. If it is right now, wait until ${writeClock(ends)}.`,
        };
      const left = writeLeft(ends.getTime() - now.getTime());
      return {
        message: `${writeQuantity(time)} have to pass; ${left} are left, until ${writeClock(ends)}.`,
        remedy: 'Wait, then type done.',
      };
    }
    return {
      // A count has no unit to ask for.
      message: inTitles(this.plan, message.replace(/, in no unit\b/, ''), about),
      remedy: inTitles(this.plan, remedy, about),
    };
  }

  #show(facts: readonly Fact[]): void {
    for (const fact of facts) {
      // A hold is shown as the place where the job then stands.
      if (fact.fact.kind === 'held') continue;
      const said = `[${fact.seq}] ${describeFact(this, fact)}`;
      // What was done has just been read in full.
      this.say(fact.fact.kind === 'done' ? shorten(`  ${said}`, width()) : wrap(said, '  ', '       '));
      const between = fact.fact.kind === 'reading' ? betweenSteps(this.plan, fact.fact) : undefined;
      if (between !== undefined) this.say(wrap(between, '       Note: ', '       '));
      if (fact.fact.kind === 'judged')
        for (const note of verdictNotes(this.plan, this.job, fact.fact, '       ', this.#atHand()))
          this.say(note);
      const next = fact.fact.kind === 'judged' ? whatFollows(this.plan, this.job, fact.fact) : undefined;
      if (next !== undefined) this.say(wrap(next, '  Now: ', '       '));
    }
  }
}

const isInsistable = (command: Command, refusals: readonly Refusal[]): command is Insistable =>
  (command.command === 'record' || command.command === 'strike') &&
  refusals.every((one) => one.code === 'unexpected-identity' || one.code === 'no-way-back');
