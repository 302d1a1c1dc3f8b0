import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { type Begun, begun, watched } from './begin-on.ts';
import { byKeys, byTouch } from './hands.ts';
import { canBrowse, launch, onceMore } from './page-rig.ts';
import { jobOf, type Work, Worker, workOf } from './worker.ts';

/** Writes down each step that the card shows, as often as it changes. */
const noteSteps = `
  window.stepsShown = [];
  window.leftBehind = [];
  new MutationObserver(() => {
    const said = ['.step-place', '#step-title', '.step-says'].map((one) => document.querySelector(one)?.textContent).join(' / ');
    if (said !== window.stepsShown.at(-1)) window.stepsShown.push(said);
    for (let part = document.querySelector('.part-here')?.previousElementSibling; part; part = part.previousElementSibling) {
      const { value, max } = part.firstElementChild;
      if (value < max) window.leftBehind.push(part.firstElementChild.ariaLabel);
    }
  }).observe(document.querySelector('main'), { subtree: true, childList: true, characterData: true });`;

describe.runIf(canBrowse)('a whole job on the page, in Chromium', onceMore, () => {
  let browser: Browser;
  let work: Work;
  let on: Begun | undefined;
  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('marram-unit-pumps/1.1.0', 'install-and-synchronise', 'marram-four', 'clean-four'),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(() => on?.rig.end());

  test('by touch: four cylinders from the first hazard to the card', async () => {
    on = await begun(browser, work, byTouch);
    const { page, worker, job, rig, faults } = on;
    await page.evaluate(noteSteps);
    const moves = await worker.goOn(page, job);
    expect(moves).toBeGreaterThan(150);
    const done = jobOf(work, rig.store, job);
    expect(done.facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });
    await page.getByRole('heading', { name: 'The job is closed' }).waitFor();
    expect(await page.getByRole('button', { name: 'More' }).count()).toBe(0);
    // No step comes back, not for a moment, while what it came to arrives by two ways.
    const shown = await page.evaluate<string[]>('window.stepsShown');
    expect(shown.length).toBeGreaterThan(80);
    expect(shown.filter((one, at) => shown[at - 2] === one)).toEqual([]);
    // A part that was gone through lies behind as a whole, whatever its conditions have left out.
    expect(await page.evaluate('window.leftBehind')).toEqual([]);
    expect(
      await page.evaluate(
        `[...document.querySelectorAll('.part progress')].every((one) => one.value === one.max)`,
      ),
    ).toBe(true);
    expect(faults).toEqual([]);
  }, 600_000);

  test('by keys alone, in four steps between which the page is closed', async () => {
    on = await begun(browser, work, byTouch, { viewport: { width: 1280, height: 800 }, isMobile: false });
    const { context, job, rig, url } = on;
    const worker = new Worker(rig, work, byKeys);
    const faults = [on.faults];
    let { page } = on;
    for (const enough of [60, 150, 260, Number.POSITIVE_INFINITY]) {
      await worker.goOn(page, job, ({ seq }) => seq >= enough);
      if (enough === Number.POSITIVE_INFINITY) break;
      await page.close();
      const next = await watched(context);
      page = next.page;
      faults.push(next.faults);
      await page.clock.install();
      await page.goto(`${url}/#/job/${job}`);
      await page.locator('.step').waitFor();
    }
    expect(jobOf(work, rig.store, job).facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });
    expect(faults.flat()).toEqual([]);
  }, 600_000);
});
