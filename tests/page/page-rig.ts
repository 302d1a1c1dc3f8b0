import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderStore, type JobStore } from '@ferrule/records';
import { createServer } from '@ferrule/server';
import browserHere from '@sparticuz/chromium';
import {
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  chromium,
  type Page,
} from 'playwright-core';

// Not from where this file is: measures and pictures are made of it too, in bundles of their own.
export const root = process.cwd();
/** The packs of the checkout. */
export const specs = join(root, 'specs');

/** The browser that the registry carries runs on Linux with x64 alone. */
export const canBrowse = process.platform === 'linux' && process.arch === 'x64';

/**
 * A browser beside other tests on two cores now and then takes longer for one press than a test waits. What fails twice has
 * a fault.
 */
export const onceMore = { retry: 1 } as const;

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
  /** What the clock of the workshop says, in milliseconds since the start of 1970. */
  clock = (): number => Date.now() + this.ahead;
  readonly #packs: readonly string[];
  /** The folder of the page that is sent. */
  page = join(root, 'packages/page/dist');
  /** What every request has to carry from the next start on. */
  token: string | undefined;
  #app: Server;
  #port = 0;

  /** The packs of the checkout stand on its shelf, or those of other folders. With a token, every request has to carry it. */
  constructor(packs: readonly string[] = [specs], token?: string) {
    this.#packs = packs;
    this.token = token;
    this.#app = this.#make();
  }

  #make(): Server {
    return createServer({
      ...{ store: this.store, storeFolder: this.folder, packs: this.#packs, port: this.#port },
      page: this.page,
      ...(this.token === undefined ? {} : { token: this.token }),
      now: () => new Date(this.clock()),
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

/** Waits until the browser keeps the page. */
export const pageKept = (page: Page): Promise<unknown> =>
  page.evaluate('navigator.serviceWorker.ready.then(({ active }) => active.state)');

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
