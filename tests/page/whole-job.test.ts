import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import {
  beginOn,
  byKeys,
  byTouch,
  canBrowse,
  device,
  jobOf,
  launch,
  PageRig,
  type Work,
  Worker,
  workOf,
} from './page-rig.ts';

/** Writes down each step that the card shows, as often as it changes. */
const noteSteps = `
  window.stepsShown = [];
  new MutationObserver(() => {
    const said = ['.step-place', '#step-title', '.step-says'].map((one) => document.querySelector(one)?.textContent).join(' / ');
    if (said !== window.stepsShown.at(-1)) window.stepsShown.push(said);
  }).observe(document.querySelector('main'), { subtree: true, childList: true, characterData: true });`;

describe.runIf(canBrowse)('a whole job on the page, in Chromium', () => {
  let browser: Browser;
  let work: Work;
  let rig: PageRig;
  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('marram-unit-pumps/1.1.0', 'install-and-synchronise', 'marram-four', 'clean-four'),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(() => rig?.end());

  async function opened(
    options: Parameters<typeof device>[1] = {},
  ): Promise<{ readonly page: Page; readonly faults: string[]; readonly url: string }> {
    rig = new PageRig();
    const url = await rig.listen();
    const context = await device(browser, options);
    const page = await context.newPage();
    await page.clock.install();
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(error.message));
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(message.text());
    });
    return { page, faults, url };
  }

  test('by touch: four cylinders from the first hazard to the card', async () => {
    const { page, faults, url } = await opened();
    const worker = new Worker(rig, work, byTouch);
    const job = await beginOn(page, url, work, worker);
    await page.evaluate(noteSteps);
    const moves = await worker.goOn(page, job).catch(async (fault: unknown) => {
      throw new Error(`The page says: ${await page.textContent('main')}`, { cause: fault });
    });
    expect(moves).toBeGreaterThan(150);
    const done = jobOf(work, rig.store, job);
    expect(done.facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });
    await page.getByRole('heading', { name: 'The job is closed' }).waitFor();
    // No step comes back, not for a moment, while what it came to arrives by two ways.
    const shown = await page.evaluate<string[]>('window.stepsShown');
    expect(shown.length).toBeGreaterThan(80);
    expect(shown.filter((one, at) => shown[at - 2] === one)).toEqual([]);
    expect(faults).toEqual([]);
  }, 600_000);

  test('by keys alone, in four steps between which the page is closed', async () => {
    const {
      page: first,
      faults,
      url,
    } = await opened({ viewport: { width: 1280, height: 800 }, isMobile: false });
    const job = await beginOn(first, url, work, new Worker(rig, work, byTouch));
    const worker = new Worker(rig, work, byKeys);
    let page = first;
    for (const enough of [60, 150, 260, Number.POSITIVE_INFINITY]) {
      await worker
        .goOn(page, job, ({ seq }) => seq >= enough)
        .catch(async (fault: unknown) => {
          throw new Error(`The page says: ${await page.textContent('main')}`, { cause: fault });
        });
      if (enough === Number.POSITIVE_INFINITY) break;
      const context = page.context();
      await page.close();
      page = await context.newPage();
      await page.clock.install();
      await page.goto(`${url}/#/job/${job}`);
      await page.locator('.step').waitFor();
    }
    expect(jobOf(work, rig.store, job).facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });
    expect(faults).toEqual([]);
  }, 600_000);
});
