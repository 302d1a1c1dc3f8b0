import { join } from 'node:path';
import { answersOf, ScriptedPerson } from '@ferrule/check';
import { type Answers, type Job, offers, type Pack, type Plan, resolve } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import type { JobStore } from '@ferrule/records';
import { readPack } from '@ferrule/source';
import type { Page } from 'playwright-core';
import type { Hands } from './hands.ts';
import { type PageRig, specs } from './page-rig.ts';

/** A pack of the checkout with the plan of one of its jobs, and the answers of one of its trials. */
export interface Work {
  /** The pack as it is written. */
  readonly document: unknown;
  readonly pack: Pack;
  readonly plan: Plan;
  readonly answers: Answers;
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
  const found = pack.trials?.[trial];
  const answers = found && answersOf(pack, found);
  if (answers === undefined) throw new Error(`${name} has no trial ${trial}`);
  return { document, pack, plan, answers };
}

/** A picture of one pixel (PNG, ISO/IEC 15948). */
export const picture = {
  name: 'picture.png',
  mimeType: 'image/png',
  buffer: Buffer.from(
    'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNkYPhfDwAChwGA60e6kgAAAABJRU5ErkJggg==',
    'base64',
  ),
};

/** What the button says by which a hold is released. */
const releaseWords = {
  concession: 'grants a concession',
  witness: 'releases it',
  rework: 'sends it back',
} as const;

/** The job as its record makes it. */
export function jobOf({ plan }: Work, store: JobStore, job: string): Job {
  const { facts = [] } = store.read(job);
  const replayed = replay(plan, facts);
  if (replayed.job === undefined) throw new Error(replayed.fault.message);
  return replayed.job;
}

/** A person who answers as the trial says, and does it all on the page. */
export class Worker {
  readonly #work: Work;
  readonly #rig: PageRig;
  readonly #hands: Hands;
  readonly #person: ScriptedPerson;

  constructor(rig: PageRig, work: Work, hands: Hands) {
    this.#rig = rig;
    this.#work = work;
    this.#hands = hands;
    this.#person = new ScriptedPerson(work.plan, work.answers);
  }

  get persons() {
    return this.#person.persons();
  }

  get instruments() {
    return this.#person.instruments();
  }

  /** Does what is offered, one thing after the other, until `enough` says so or nothing is left. Answers how many. */
  async goOn(page: Page, job: string, enough: (job: Job) => boolean = () => false): Promise<number> {
    let done = 0;
    for (;;) {
      const now = jobOf(this.#work, this.#rig.store, job);
      const offered = offers(this.#work.plan, now);
      if (offered.standing === 'closed' || enough(now)) return done;
      const move = this.#person.move(now, offered, now.at);
      if (!('command' in move)) throw new Error(JSON.stringify(move));
      const { command, by } = move;
      await this.#wait(page, move.waits);
      switch (command.command) {
        case 'acknowledge':
          await this.#hands.press(page, 'Read and understood');
          break;
        case 'done':
          if (command.photograph === undefined) await this.#hands.press(page, 'Done');
          else await page.locator('input[type=file]').setInputFiles(picture);
          break;
        case 'record': {
          const entry = this.#work.plan.entries.find(({ name }) => name === command.entry);
          if (entry?.entry === 'observation') {
            const answer = entry.answers.find(({ id }) => id === command.value);
            await this.#hands.choose(page, answer?.text ?? command.value);
          } else {
            if (command.held === true) await this.#hands.choose(page, 'Held throughout');
            await this.#hands.type(page, '#entry', command.value);
          }
          await this.#hands.press(page, 'Enter');
          break;
        }
        case 'witness':
          await this.#hands.press(page, `${by} has seen it`);
          break;
        case 'resume':
          for (const one of offered.offers.flatMap((each) => (each.offer === 'resume' ? each.confirm : [])))
            await this.#hands.choose(page, one.text);
          await this.#hands.press(page, 'Go on with the job');
          break;
        case 'release':
          await this.#hands.type(page, '.reason input', command.reason);
          await this.#hands.press(page, new RegExp(`^${by} .*${releaseWords[command.by]}`));
          break;
        case 'close':
          await this.#hands.press(page, 'Close the job');
          break;
        default:
          throw new Error(`nobody here knows how to ${command.command}`);
      }
      await this.#stored(page, job, now.seq, JSON.stringify(command));
      this.#person.taken(command);
      done += 1;
    }
  }

  /** Lets the time of the workshop pass, for the server and for the page. */
  async #wait(page: Page, seconds: number | undefined): Promise<void> {
    if (seconds === undefined) return;
    // An answer that is still on its way would bear the time of before.
    await page.locator('.link').filter({ hasText: 'all stored' }).waitFor({ state: 'attached' });
    this.#rig.ahead += (seconds + 1) * 1000;
    await page.clock.fastForward((seconds + 1) * 1000);
  }

  async #stored(page: Page, job: string, after: number, what: string): Promise<void> {
    const latest = Date.now() + 60_000;
    while ((this.#rig.store.read(job).facts?.length ?? 0) <= after) {
      if (Date.now() > latest)
        throw new Error(`not stored: ${what}. The page says: ${await page.textContent('main')}`);
      await new Promise((done) => setTimeout(done, 5));
    }
  }
}
