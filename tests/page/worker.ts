import { join } from 'node:path';
import {
  answersOf,
  eventCommand,
  eventPerson,
  isOnlyTime,
  ScriptEvents,
  ScriptedPerson,
  secondsBefore,
} from '@ferrule/check';
import {
  type Answers,
  type Command,
  decide,
  type Job,
  type Offers,
  offers,
  type Pack,
  type Plan,
  type Refusal,
  resolve,
  type Trial,
  withFact,
} from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { inTitles } from '@ferrule/print';
import type { JobStore } from '@ferrule/records';
import { readPack } from '@ferrule/source';
import type { Page } from 'playwright-core';
import { giveOnPage } from './give-on-page.ts';
import type { Hands } from './hands.ts';
import { type PageRig, specs } from './page-rig.ts';

/** A pack of the checkout with the plan of one of its jobs, and one of its trials with all its answers. */
export interface Work {
  /** The pack as it is written. */
  readonly document: unknown;
  readonly pack: Pack;
  readonly plan: Plan;
  readonly answers: Answers;
  readonly trial: { readonly name: string; readonly written: Trial };
}

export async function workOf(
  name: string,
  procedure: string,
  variant: string,
  trial: string,
  shelf = specs,
): Promise<Work> {
  const { document } = await readPack(join(shelf, name));
  const { pack } = validate(document);
  if (pack === undefined) throw new Error(`${name} does not fit the format`);
  const { plan } = resolve(pack, { procedure, variant });
  if (plan === undefined) throw new Error(`${name} has no plan for ${procedure}`);
  const written = pack.trials?.[trial];
  const answers = written && answersOf(pack, written);
  if (written === undefined || answers === undefined) throw new Error(`${name} has no trial ${trial}`);
  return { document, pack, plan, answers, trial: { name: trial, written } };
}

/** The job as its record makes it. */
export function jobOf({ plan }: Work, store: JobStore, job: string): Job {
  const { facts = [] } = store.read(job);
  const replayed = replay(plan, facts);
  if (replayed.job === undefined) throw new Error(replayed.fault.message);
  return replayed.job;
}

/** A person who answers as the trial says, and does it all on the page, with what else happens in the trial. */
export class Worker {
  readonly #work: Work;
  readonly #rig: PageRig;
  readonly #hands: Hands;
  readonly #person: ScriptedPerson;
  readonly #events: ScriptEvents;
  /** The job as it was when it was last looked at. */
  #seen: Job | undefined;

  constructor(rig: PageRig, work: Work, hands: Hands) {
    this.#rig = rig;
    this.#work = work;
    this.#hands = hands;
    this.#person = new ScriptedPerson(work.plan, work.answers);
    this.#events = new ScriptEvents(work.plan, work.trial.written.events ?? []);
  }

  get persons() {
    return this.#person.persons();
  }

  get instruments() {
    return this.#person.instruments();
  }

  /** Events of the trial that never came about, or went otherwise than they say. */
  get missed() {
    return this.#events.missed();
  }

  /** Does what is offered, one thing after the other, until `enough` says so or nothing is left. Answers how many. */
  async goOn(page: Page, job: string, enough: (job: Job) => boolean = () => false): Promise<number> {
    const { plan } = this.#work;
    let done = 0;
    for (;;) {
      const now = this.#jobNow(job);
      const offered = offers(plan, now);
      if (offered.standing === 'closed' || enough(now)) return done;
      const event = this.#events.due(now);
      if (event !== undefined) {
        const seconds = secondsBefore(event);
        // Times are counted in whole seconds, so one more is a little more than that many.
        if (seconds > 0) await this.#wait(page, seconds + 1);
        if (isOnlyTime(event)) {
          this.#events.passed(event);
          continue;
        }
        const at = this.#now();
        const command = eventCommand(event, now, plan, at);
        const by = eventPerson(event, now, plan, at, this.#person);
        this.#events.happened(event, command && (await this.#give(page, job, now, offered, command, by)));
        done += 1;
        continue;
      }
      const move = this.#person.move(now, offered, now.at);
      if (!('command' in move)) throw new Error(JSON.stringify(move));
      if (move.waits !== undefined) await this.#wait(page, move.waits + 1);
      const [refusal] = await this.#give(page, job, now, offered, move.command, move.by);
      if (refusal !== undefined) throw new Error(`${JSON.stringify(move.command)}: ${refusal.message}`);
      this.#person.taken(move.command);
      done += 1;
    }
  }

  /** The job as its record makes it by now. What was looked at before is not gone through again. */
  #jobNow(job: string): Job {
    const seen = this.#seen ?? jobOf(this.#work, this.#rig.store, job);
    const since = this.#rig.store.read(job).facts?.slice(seen.seq) ?? [];
    this.#seen = since.reduce((one, fact) => withFact(this.#work.plan, one, fact), seen);
    return this.#seen;
  }

  #now(): string {
    return new Date(this.#rig.clock()).toISOString();
  }

  /** Gives a command on the page, and waits until it is stored, or until it stands there why it was refused. */
  async #give(
    page: Page,
    job: string,
    now: Job,
    offered: Offers,
    command: Command,
    by: string,
  ): Promise<readonly Refusal[]> {
    const { plan } = this.#work;
    const asked = this.#insisting(now, command, by);
    const refusals = this.#refusalsOf(now, asked, by);
    const entryOf = (seq: number): string | undefined =>
      plan.entries[now.taken.findIndex((one) => one?.seq === seq)]?.name;
    await giveOnPage({ page, hands: this.#hands, plan, offers: offered, entryOf }, asked, by);
    const [first] = refusals;
    if (first === undefined) await this.#stored(page, job, now.seq, JSON.stringify(asked));
    else
      await page
        .locator('.refusals')
        .filter({ hasText: inTitles(plan, first.message, first.about) })
        .waitFor();
    return refusals;
  }

  /** Where a part bears another number than is expected, the script says that it really is in hand. */
  #insisting(now: Job, command: Command, by: string): Command {
    if (command.command !== 'record') return command;
    const [refusal] = this.#refusalsOf(now, command, by);
    return refusal?.code === 'unexpected-identity' ? { ...command, insist: true } : command;
  }

  #refusalsOf(now: Job, command: Command, by: string): readonly Refusal[] {
    // What is taken over is what the page offers from the records, not what the trial writes out.
    if (command.command === 'carry') return [];
    const occasion = { at: this.#now(), by, id: 'would-be' };
    return decide(this.#work.plan, now, command, occasion, now.seq).refusals ?? [];
  }

  /** Lets the time of the workshop pass, for the server and for the page. */
  async #wait(page: Page, seconds: number): Promise<void> {
    // An answer that is still on its way would bear the time of before.
    await page.locator('.link').filter({ hasText: 'all stored' }).waitFor({ state: 'attached' });
    this.#rig.ahead += seconds * 1000;
    await page.clock.fastForward(seconds * 1000);
  }

  async #stored(page: Page, job: string, after: number, what: string): Promise<void> {
    const latest = Date.now() + 60_000;
    while ((this.#rig.store.end(job)?.seq ?? 0) <= after) {
      if (Date.now() > latest)
        throw new Error(`not stored: ${what}. The page says: ${await page.textContent('main')}`);
      await new Promise((done) => setTimeout(done, 5));
    }
  }
}
