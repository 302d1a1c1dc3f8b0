import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import {
  beginOn,
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

describe.runIf(canBrowse)('the page without a server, and beside another one, in Chromium', () => {
  let browser: Browser;
  let work: Work;
  let rig: PageRig;
  let url: string;
  let context: BrowserContext;
  let page: Page;
  let job: string;
  let worker: Worker;

  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('valve-clearance/1.0.0', 'set-clearances', 'marram-four', 'all-inside'),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  beforeEach(async () => {
    rig = new PageRig();
    url = await rig.listen();
    context = await device(browser);
    page = await context.newPage();
    worker = new Worker(rig, work, byTouch);
    job = await beginOn(page, url, work, worker);
    await worker.goOn(page, job, ({ facts }) => facts.some(({ fact }) => fact.kind === 'acknowledged'));
  });
  afterEach(async () => {
    await context.close();
    await rig.end();
  });

  const facts = (): number => rig.store.read(job).facts?.length ?? 0;
  const link = (on = page) => on.locator('.link');
  const stored = (on = page) => link(on).filter({ hasText: 'all stored' }).waitFor();

  /** Notes something under More, which can be done at any time. */
  async function note(on: Page, text: string): Promise<void> {
    await on.getByRole('button', { name: 'More' }).tap();
    const form = on.locator('details').filter({ hasText: 'For the record' });
    await form.locator('summary').tap();
    await form.getByLabel('For the record').fill(text);
    await form.getByRole('button', { name: 'Keep the note' }).tap();
  }

  test('commands wait on the device, outlive the page, and are stored once the server is there again', async () => {
    const before = facts();
    await rig.stop();
    await note(page, 'first, without a server');
    await link().filter({ hasText: '1 not stored, kept here' }).waitFor();
    await note(page, 'second, without a server');
    await link().filter({ hasText: '2 not stored, kept here' }).waitFor();
    expect(facts()).toBe(before);
    await rig.restart();
    await stored();
    const noted = jobOf(work, rig.store, job).facts.flatMap(({ fact }) =>
      fact.kind === 'noted' ? [fact.text] : [],
    );
    expect(noted).toEqual(['first, without a server', 'second, without a server']);
  });

  test('what waits is still there after the page was closed', async () => {
    await rig.stop();
    await note(page, 'written before the device was put away');
    await link().filter({ hasText: '1 not stored' }).waitFor();
    await page.close();
    await rig.restart();
    page = await context.newPage();
    await page.goto(`${url}/#/job/${job}`);
    await stored();
    expect(jobOf(work, rig.store, job).facts.at(-1)?.fact).toMatchObject({
      kind: 'noted',
      text: 'written before the device was put away',
    });
  });

  test('a verdict that is not stored says that it is provisional; closing and witnesses wait', async () => {
    await worker.goOn(page, job, ({ facts: all }) => all.some(({ fact }) => fact.kind === 'judged'));
    await page.locator('.just-now').waitFor();
    expect(await page.locator('.provisional').count()).toBe(0);
    await rig.stop();
    await note(page, 'away');
    await page.getByRole('button', { name: 'More' }).tap();
    const form = page.locator('details').filter({ hasText: 'Why it is not finished' });
    await form.locator('summary').tap();
    await form.getByLabel('Why it is not finished').fill('nobody is there');
    await form.getByRole('button', { name: 'Close as unfinished' }).tap();
    await form
      .getByRole('alert')
      .filter({ hasText: 'This waits until everything before it is stored.' })
      .waitFor();
    await rig.restart();
    await stored();
    expect(jobOf(work, rig.store, job).control.closed).toBeUndefined();
  });

  test('two screens show the same job', async () => {
    const other = await (await device(browser)).newPage();
    await other.goto(`${url}/#/job/${job}`);
    await other.locator('.step').waitFor();
    await worker.goOn(page, job, ({ facts: all }) => all.some(({ fact }) => fact.kind === 'judged'));
    const title = await page.locator('#step-title').textContent();
    await other
      .locator('#step-title')
      .filter({ hasText: title ?? '' })
      .waitFor();
    await other.locator('.just-now').filter({ hasText: 'conforming' }).waitFor();
    await other.context().close();
  });

  test('a conflict is shown, and a person decides', async () => {
    const other = await (await device(browser)).newPage();
    await other.goto(`${url}/#/job/${job}`);
    await other.locator('.step').waitFor();
    await context.setOffline(true);
    await note(page, 'from the first device');
    await link().filter({ hasText: '1 not stored' }).waitFor();
    await note(other, 'from the second device');
    await stored(other);
    await context.setOffline(false);
    const conflict = page.locator('.conflict');
    await conflict.filter({ hasText: 'The job went on elsewhere' }).waitFor();
    await conflict.filter({ hasText: 'Note: from the first device' }).waitFor();
    await page.getByRole('button', { name: 'It still holds: give it again' }).tap();
    await stored();
    const noted = jobOf(work, rig.store, job).facts.flatMap(({ fact }) =>
      fact.kind === 'noted' ? [fact.text] : [],
    );
    expect(noted).toEqual(['from the second device', 'from the first device']);
    await other.context().close();
  });

  test('what no longer fits can be left out', async () => {
    const other = await (await device(browser)).newPage();
    await other.goto(`${url}/#/job/${job}`);
    await other.locator('.step').waitFor();
    await context.setOffline(true);
    await note(page, 'never mind');
    await link().filter({ hasText: '1 not stored' }).waitFor();
    await note(other, 'what counts');
    await stored(other);
    await context.setOffline(false);
    await page.getByRole('button', { name: 'Leave it out' }).tap();
    await stored();
    expect(jobOf(work, rig.store, job).facts.at(-1)?.fact).toMatchObject({ text: 'what counts' });
    await other.context().close();
  });
});
