import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { answersOf, ScriptedPerson } from '@ferrule/check';
import { type Answers, type Job, offers, type Pack, type Plan, resolve } from '@ferrule/engine';
import { replay } from '@ferrule/engine/replay';
import { validate } from '@ferrule/engine/validate';
import { folderStore, type JobStore } from '@ferrule/records';
import { createServer } from '@ferrule/server';
import { readPack } from '@ferrule/source';
import browserHere from '@sparticuz/chromium';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';

const root = fileURLToPath(new URL('../..', import.meta.url));
const specs = join(root, 'specs');

/** The browser that the registry carries runs on Linux with x64 alone. */
export const canBrowse = process.platform === 'linux' && process.arch === 'x64';

/** All in one process, as a function in a cloud needs it, the browser ends with the first of its devices. */
const inOneProcess = ['--single-process', '--no-zygote'];

export const launch = async (): Promise<Browser> =>
  chromium.launch({
    executablePath: await browserHere.executablePath(),
    args: browserHere.args.filter((one) => !inOneProcess.includes(one)),
    headless: true,
  });

type Server = ReturnType<typeof createServer>;

/** A server with the built page over a store of its own, whose time a test moves. */
export class PageRig {
  readonly folder = mkdtempSync(join(tmpdir(), 'ferrule-page-'));
  readonly store: JobStore = folderStore(this.folder);
  /** Milliseconds that the workshop is ahead of this machine. */
  ahead = 0;
  #app: Server;
  #port = 0;

  constructor() {
    this.#app = this.#make();
  }

  #make(): Server {
    return createServer({
      ...{ store: this.store, storeFolder: this.folder, packs: [specs], port: this.#port },
      page: join(root, 'packages/page/dist'),
      now: () => new Date(Date.now() + this.ahead),
      onDefect: (error) => {
        throw error;
      },
    });
  }

  async listen(): Promise<string> {
    const url = await this.#app.listen({ host: '127.0.0.1', port: this.#port });
    this.#port = Number(new URL(url).port);
    return url;
  }

  /** Stops at once, as if it were killed: connections are cut. */
  async stop(): Promise<void> {
    this.#app.server.closeAllConnections();
    await this.#app.close();
  }

  /** Starts again at the same port. */
  async restart(): Promise<string> {
    this.#app = this.#make();
    return this.listen();
  }

  async end(): Promise<void> {
    await this.stop();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A pack of the checkout with the plan of one of its jobs, and the answers of one of its trials. */
export interface Work {
  readonly pack: Pack;
  readonly plan: Plan;
  readonly answers: Answers;
}

export async function workOf(name: string, procedure: string, variant: string, trial: string): Promise<Work> {
  const { document } = await readPack(join(specs, name));
  const { pack } = validate(document);
  if (pack === undefined) throw new Error(`${name} does not fit the format`);
  const { plan } = resolve(pack, { procedure, variant });
  if (plan === undefined) throw new Error(`${name} has no plan for ${procedure}`);
  const found = pack.trials?.[trial];
  const answers = found && answersOf(pack, found);
  if (answers === undefined) throw new Error(`${name} has no trial ${trial}`);
  return { pack, plan, answers };
}

/** A picture of one pixel (PNG, ISO/IEC 15948). */
const picture = {
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

/** How somebody works the page: by touch, or by keys alone. */
export interface Hands {
  press(page: Page, name: string | RegExp): Promise<void>;
  choose(page: Page, text: string): Promise<void>;
  type(page: Page, label: string, text: string): Promise<void>;
}

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
      switch (command.command) {
        case 'acknowledge':
          await this.#hands.press(page, 'Read and understood');
          break;
        case 'done':
          await this.#wait(page, move.waits);
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

/** Begins the job of a worker on the page, and answers its name. */
export async function beginOn(page: Page, url: string, work: Work, worker: Worker): Promise<string> {
  const { plan } = work;
  await page.goto(`${url}/`);
  await page.getByRole('link', { name: 'Begin a job' }).tap();
  await page
    .getByRole('link', { name: plan.procedure.title })
    .filter({ hasText: plan.pack.revision })
    .first()
    .tap();
  await page.getByText(plan.variant.title, { exact: true }).tap();
  for (const { role, person } of worker.persons) {
    const title = plan.roles.find(({ id }) => id === role)?.title ?? role;
    const field = page.getByLabel(title, { exact: false }).first();
    if ((await field.count()) > 0) await field.fill(person);
  }
  for (const { kind, identity, due } of worker.instruments) {
    const title = plan.instruments.find(({ id }) => id === kind)?.title ?? kind;
    const group = page.locator('.instrument').filter({ hasText: `${title}: number on it` });
    await group.getByLabel('number on it').fill(identity);
    if (due !== undefined && (await group.getByLabel('Calibrated until').count()) > 0)
      await group.getByLabel('Calibrated until').fill(due);
  }
  await page.getByRole('button', { name: 'Begin', exact: true }).tap();
  await page.waitForURL(/#\/job\//);
  await page.locator('.step').waitFor();
  return decodeURIComponent(page.url().split('#/job/')[1] ?? '');
}

/** A device with a touch screen, or one with keys. */
export async function device(browser: Browser, options: BrowserContextOptions = {}): Promise<BrowserContext> {
  const context = await browser.newContext({
    ...{ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
    ...options,
  });
  // On a busy machine everything takes its time; what hangs is caught all the same.
  context.setDefaultTimeout(60_000);
  return context;
}

export const byTouch: Hands = {
  press: (page, name) =>
    page
      .getByRole('button', { name, exact: typeof name === 'string' })
      .first()
      .tap(),
  choose: (page, text) => page.locator('.answer, .check').filter({ hasText: text }).first().tap(),
  type: (page, label, text) => page.locator(label).fill(text),
};

/** How many times the tab key is pressed in search of something before it counts as out of reach. */
const MOST_TABS = 80;

/** Goes on with the tab key until what has the focus is what is meant. */
async function tabTo(page: Page, isThere: string): Promise<void> {
  for (let pressed = 0; pressed < MOST_TABS; pressed++) {
    if ((await page.evaluate(`((one) => ${isThere})(document.activeElement)`)) === true) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`not reached by the tab key: ${isThere}`);
}

/** By keys alone: nothing is clicked, and nothing gets the focus but by the tab key. */
export const byKeys: Hands = {
  press: async (page, name) => {
    const says =
      typeof name === 'string' ? new RegExp(`^${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}$`) : name;
    await tabTo(page, `one.tagName === 'BUTTON' && !one.disabled && ${says}.test(one.textContent.trim())`);
    await page.keyboard.press('Enter');
  },
  choose: async (page, text) => {
    const said = JSON.stringify(text);
    await tabTo(page, `one.closest('.answer, .check') !== null`);
    // Radio buttons are one stop of the tab key; the arrows go through them. Boxes are a stop each.
    for (let tries = 0; tries < MOST_TABS; tries++) {
      const [isThere, isRadio] = (await page.evaluate(
        `[document.activeElement.closest('.answer, .check')?.textContent.includes(${said}) === true, document.activeElement.type === 'radio']`,
      )) as readonly [boolean, boolean];
      if (isThere) break;
      await page.keyboard.press(isRadio ? 'ArrowDown' : 'Tab');
    }
    await page.keyboard.press('Space');
  },
  type: async (page, label, text) => {
    await tabTo(page, `one.matches(${JSON.stringify(label)})`);
    await page.keyboard.type(text);
  },
};
