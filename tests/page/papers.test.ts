import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { pdfPages } from '../browser/pdf-text.ts';
import { begun } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { canBrowse, device, launch, onceMore, PageRig, pageKept, specs } from './page-rig.ts';
import { type Work, workOf } from './worker.ts';

/** Printed text comes back without the spaces between its words. */
const tight = (text: string): string => text.replace(/\s+/g, '');
const deferral = 'Ferrule never says that a job is safe.';
const token = 'Zk3v-8Qd0r_1xYb7LmN5tGh2PwEj9sUa';

describe.runIf(canBrowse)('cards and sheets, opened from the page and printed by Chromium', onceMore, () => {
  let browser: Browser;
  let work: Work;
  let rig: PageRig;
  let context: BrowserContext;

  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('valve-clearance/1.0.0', 'set-clearances', 'marram-four', 'one-tight-one-wide'),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await context?.close();
    await rig?.end();
  });

  /** A job with a bad reading behind it, on a device of its own; the page is at the list of jobs. */
  async function workshop(): Promise<{ readonly page: Page; readonly url: string }> {
    const { page, url, job, worker, ...on } = await begun(browser, work, byTouch);
    ({ rig, context } = on);
    await worker.goOn(
      page,
      job,
      ({ facts }) => facts.filter(({ fact }) => fact.kind === 'judged').length >= 3,
    );
    await page.goto(`${url}/#/`);
    return { page, url };
  }

  /** What a link opens, once it is there. */
  async function opened(press: () => Promise<void>): Promise<Page> {
    const [paper] = await Promise.all([context.waitForEvent('page'), press()]);
    await paper.waitForLoadState();
    return paper;
  }

  /** The paper as it is printed: each page of it bears the notice of demonstration data. */
  async function printed(paper: Page): Promise<string> {
    const pages = pdfPages(await paper.pdf({ format: 'A4' })).map(tight);
    expect(pages.length).toBeGreaterThan(0);
    for (const text of pages) expect(text).toContain(tight('Demonstration data'));
    return pages.join('');
  }

  test('the list of jobs leads to the card of each, which prints with its verdicts', async () => {
    const { page } = await workshop();
    const row = page.locator('.job-list li').filter({ hasText: work.plan.procedure.title });
    const paper = await opened(() => row.getByRole('link', { name: 'Job card' }).tap());
    const text = await printed(paper);
    expect(text).toContain(tight(work.plan.procedure.title));
    expect(text).toContain(tight('NONCONFORMING: inlet limits, bore 4, 0.15 mm'));
    expect(text).toContain(tight(deferral));
  });

  test('the list of procedures has every procedure and engine of the shelf, with a sheet that prints', async () => {
    const { page, url } = await workshop();
    await page.getByRole('link', { name: 'Procedures and sheets' }).tap();
    await page.locator('.pack').first().waitFor();
    const { packs } = (await (await fetch(`${url}/packs`)).json()) as {
      readonly packs: readonly {
        readonly title: string;
        readonly revision: string;
        readonly jobs: readonly {
          readonly title: string;
          readonly variants: readonly { readonly title: string }[];
        }[];
      }[];
    };
    const jobs = packs.flatMap((one) => one.jobs);
    expect(jobs.length).toBeGreaterThan(10);
    expect(await page.locator('.procedure h3').allTextContents()).toEqual(jobs.map(({ title }) => title));
    expect(await page.locator('.procedure .paper').allTextContents()).toEqual(
      jobs.flatMap(({ variants }) => variants.map(({ title }) => title)),
    );
    const article = page.locator('.procedure').filter({ hasText: work.plan.procedure.title });
    const paper = await opened(() => article.getByRole('link', { name: work.plan.variant.title }).tap());
    const text = await printed(paper);
    expect(text).toContain(tight(work.plan.procedure.title));
    expect(text).toContain(tight('0.25 mm to 0.30 mm'));
    expect(text).toContain(tight(deferral));
    await article.getByRole('link', { name: 'Begin this job' }).tap();
    await page.locator('.set-up').filter({ hasText: work.plan.procedure.title }).waitFor();
  });

  test('where the server asks for its token, a paper opens with what the page was told, and not without', async () => {
    rig = new PageRig([specs], token);
    const url = await rig.listen();
    context = await device(browser);
    const page = await context.newPage();
    await page.goto(`${url}/#/procedures`);
    await page.getByLabel('Token').fill(token);
    await page.getByRole('button', { name: 'Go on' }).tap();
    await page.locator('.pack').first().waitFor();
    await pageKept(page);
    const link = page
      .locator('.procedure')
      .filter({ hasText: work.plan.procedure.title })
      .getByRole('link', { name: work.plan.variant.title });
    const paper = await opened(() => link.tap());
    expect(await printed(paper)).toContain(tight(work.plan.procedure.title));
    const address = paper.url();
    expect(address).not.toContain(token);
    await paper.close();
    await page.close();
    const stranger = await context.newPage();
    await stranger.goto(address);
    expect(await stranger.textContent('body')).toContain('no-token');
  });

  test('where the server is not reached, that is said in its place', async () => {
    const { page } = await workshop();
    await page.getByRole('link', { name: 'Job card' }).waitFor();
    await pageKept(page);
    await rig.stop();
    const paper = await opened(() => page.getByRole('link', { name: 'Job card' }).tap());
    const text = await paper.textContent('body');
    expect(text).toContain('The server is not reached.');
    expect(text).toContain(deferral);
    await rig.restart();
  });

  test('a screen is printed dark on light, also from a dark one, with its notice and without what can be pressed', async () => {
    const { page } = await workshop();
    const job = page.locator('.job-list a').first();
    await page.getByRole('button', { name: 'Change to dark' }).tap();
    await job.tap();
    await page.locator('.step').waitFor();
    const ink = (): Promise<string> => page.evaluate('getComputedStyle(document.body).color');
    expect(await ink()).toBe('rgb(241, 238, 230)');
    await page.emulateMedia({ media: 'print' });
    expect(await ink()).toBe('rgb(22, 25, 28)');
    expect(await page.getByRole('button', { name: 'Done', exact: true }).count()).toBe(0);
    const text = tight(pdfPages(await page.pdf({ format: 'A4' })).join(''));
    expect(text).toContain(tight(work.plan.procedure.title));
    expect(text).toContain(tight('Demonstration data'));
    expect(text).toContain(tight(deferral));
  });
});
