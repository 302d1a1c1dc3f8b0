import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hostile } from '../browser/hostile-pack.ts';
import { faultsOfAxe } from './axe-on.ts';
import { begun } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { note, openMore } from './open-more.ts';
import { overEdge } from './over-edge.ts';
import { canBrowse, device, launch, onceMore, type PageRig } from './page-rig.ts';
import { type Work, workOf } from './worker.ts';

describe.runIf(canBrowse)('every screen of the page, in Chromium', onceMore, () => {
  let browser: Browser;
  let work: Work;
  let rig: PageRig;
  let url: string;
  let job: string;
  let page: Page;

  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('valve-clearance/1.0.0', 'set-clearances', 'marram-four', 'all-inside'),
    ]);
    const on = await begun(browser, work, byTouch);
    ({ rig, url, page, job } = on);
    await on.worker.goOn(
      page,
      job,
      ({ facts }) => facts.filter(({ fact }) => fact.kind === 'judged').length >= 3,
    );
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await rig?.end();
  });

  /** Every screen: its address, and what is there when it has come. */
  const screens = (): readonly (readonly [name: string, address: string, there: string])[] => [
    ['jobs', '/', '.job-list'],
    ['procedures', '/#/begin', '.job-list'],
    ['procedures and sheets', '/#/procedures', '.pack'],
    ['beginning', '/#/begin/marram-unit-pumps/1.1.0/install-and-synchronise', '.set-up'],
    ['a job', `/#/job/${job}`, '.step'],
    ['packs', '/#/pack', '.shelf'],
    ['found in a pack', '/#/pack/valve-clearance/1.0.0', '.sum'],
    ['proved of a pack', '/#/pack/valve-clearance/1.0.0/proof', '.stroke'],
    ['trials of a pack', '/#/pack/valve-clearance/1.0.0/trials', '.sum'],
    ['revisions to choose', '/#/compare', '.line'],
    [
      'a pack with an overlay',
      '/#/pack/marram-unit-pumps/1.0.0?overlay=east-station&overlayRevision=1.0.0',
      '.sum',
    ],
    ['a comparison', '/#/compare/marram-unit-pumps/1.1.0/1.0.0', '.change-two'],
    ['no comparison', '/#/compare/marram-unit-pumps/1.0.0/7.0.0', '.problem'],
    ['a revision to judge by', '/#/judged', '.judging'],
    ['jobs to find', '/#/find', '.find'],
    ['jobs that were found', '/#/find?state=open', '.touched'],
    ['readings to choose', '/#/readings', '.find'],
    ['no job', '/#/job/2026-01-01-none-0000', '.problem'],
    ['no pack', '/#/pack/none/1.0.0', '.problem'],
  ];

  test.each(['light', 'dark'] as const)('has no fault that axe finds, %s', async (colorScheme) => {
    const own = await device(browser, { colorScheme });
    const on = await own.newPage();
    for (const [name, address, there] of screens()) {
      await on.goto(`${url}${address}`);
      await on.locator(there).first().waitFor();
      if (name === 'a job') await on.locator('summary').first().tap();
      expect([name, await faultsOfAxe(on)]).toEqual([name, []]);
    }
    await own.close();
  });

  test.each([360, 820, 1280])('runs over no edge at a width of %i', async (width) => {
    const own = await device(browser, { viewport: { width, height: 800 } });
    const on = await own.newPage();
    for (const [name, address, there] of screens()) {
      await on.goto(`${url}${address}`);
      await on.locator(there).first().waitFor();
      expect([name, await overEdge(on)]).toEqual([name, [0]]);
    }
    await own.close();
  });

  test('keeps words whole where letters are twice as large', async () => {
    const own = await device(browser);
    const on = await own.newPage();
    await on.goto(`${url}/#/job/${job}`);
    await on.locator('.step').waitFor();
    await on.evaluate(`document.documentElement.style.fontSize = '200%'`);
    expect(await overEdge(on)).toEqual([0]);
    const said = await on.locator('.dial figcaption').boundingBox();
    expect(said?.width).toBeGreaterThan(300);
    await own.close();
  });

  test('leads to the newest revision of a procedure, and to an older one on request', async () => {
    const own = await device(browser);
    const on = await own.newPage();
    await on.goto(`${url}/#/begin`);
    const pumps = on.locator('.job-list a').filter({ hasText: 'Install and synchronise' });
    await pumps.first().waitFor();
    expect(await pumps.locator('visible=true').locator('.when').allTextContents()).toEqual([
      expect.stringContaining(' 1.1.0,'),
    ]);
    await on.getByText('Older revisions', { exact: true }).tap();
    expect(await pumps.locator('visible=true').locator('.when').allTextContents()).toEqual([
      expect.stringContaining(' 1.1.0,'),
      expect.stringContaining(' 1.0.0,'),
    ]);
    await own.close();
  });

  test('fills the room below the step with what was measured at the bores, where there is room', async () => {
    const own = await device(browser, { viewport: { width: 1280, height: 900 }, isMobile: false });
    const on = await own.newPage();
    await on.goto(`${url}/#/job/${job}`);
    await on.locator('.across').first().waitFor();
    const [work, known, across] = await Promise.all(
      ['.work', '.known', '.across-all'].map(async (one) => on.locator(one).boundingBox()),
    );
    if (!work || !known || !across) throw new Error('something is not shown');
    expect(known.x).toBeGreaterThan(work.x + work.width);
    expect(across.x).toBe(work.x);
    expect(across.y).toBeGreaterThanOrEqual(work.y + work.height);
    expect(across.y).toBeLessThan(known.y + known.height);
    await own.close();
  });

  test('marks the bore at which something was accepted by concession, and says so', async () => {
    const conceding = await workOf(
      'valve-clearance/1.0.0',
      'set-clearances',
      'marram-four',
      'will-not-come-inside',
    );
    const on = await begun(browser, conceding, byTouch);
    await on.worker.goOn(on.page, on.job, ({ facts }) => facts.some(({ fact }) => fact.kind === 'released'));
    const bores = on.page.locator('.bore');
    await expect.poll(() => bores.filter({ has: on.page.locator('.conceded') }).count()).toBe(1);
    const third = on.page.getByRole('button', { name: 'Something was accepted by concession.' });
    expect(await third.textContent()).toContain('3');
    await third.tap();
    await on.page.locator('.verdicts').getByText('nonconforming, accepted by concession').waitFor();
    const said = on.page.getByText('Accepted by concession: bore 3', { exact: true });
    await said.waitFor();
    expect(await faultsOfAxe(on.page)).toEqual([]);
    // What was conceded is gone with its reading.
    await openMore(on.page, 'An earlier entry was wrong');
    // The latest stands first.
    await on.page
      .locator('.entries summary')
      .filter({ hasText: /^Bore 3: .* mm$/ })
      .first()
      .tap();
    await byTouch.type(on.page, 'Why it is struck', 'It was the other valve.');
    await byTouch.press(on.page, 'Strike it');
    await said.waitFor({ state: 'hidden' });
    expect(await on.page.locator('.conceded').count()).toBe(0);
    await on.context.close();
    await on.rig.end();
  }, 120_000);

  test('shows what people and packs say as text, never as markup', async () => {
    const own = await device(browser);
    const on = await own.newPage();
    await on.goto(`${url}/#/job/${job}`);
    await on.locator('.step').waitFor();
    await note(on, hostile.replace('\u202e', ''));
    const joining = await openMore(on, 'Somebody joins');
    await joining.getByLabel('Who').fill('<img src=x onerror=document.title=1>');
    await joining.getByRole('button', { name: 'Join' }).tap();
    await on.locator('option').filter({ hasText: '<img src=x' }).first().waitFor({ state: 'attached' });
    await on.reload();
    await on.locator('.step').waitFor();
    expect(
      await on.evaluate(`document.querySelectorAll('#page img, #page script, #page iframe').length`),
    ).toBe(0);
    expect(await on.title()).toBe('Ferrule');
    await on.goto(`${url}/#/`);
    await on.locator('.job-list').waitFor();
    expect(await on.locator('.who').filter({ hasText: '<img src=x' }).count()).toBe(1);
    expect(await on.evaluate(`document.querySelectorAll('#page img').length`)).toBe(0);
    await own.close();
  });

  test('says on every screen of a job whom it defers to, and that this is demonstration data', async () => {
    for (const [name, address, there] of screens()) {
      await page.goto(`${url}${address}`);
      await page.locator(there).first().waitFor();
      const text = (await page.textContent('body')) ?? '';
      expect([name, text]).toEqual([name, expect.stringContaining('Ferrule never says that a job is safe.')]);
      if (['a job', 'beginning', 'a comparison'].includes(name) || name.endsWith('a pack'))
        expect([name, text]).toEqual([name, expect.stringContaining('Demonstration data')]);
    }
  });
});
