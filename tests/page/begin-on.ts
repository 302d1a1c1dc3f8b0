import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import type { Hands } from './hands.ts';
import { device, PageRig } from './page-rig.ts';
import { type Work, Worker } from './worker.ts';

/** Begins the job of a worker on the page, and answers its name. */
export async function beginOn(page: Page, url: string, work: Work, worker: Worker): Promise<string> {
  const { plan } = work;
  await page.goto(`${url}/`);
  await page.getByRole('link', { name: 'Begin a job' }).tap();
  const wanted = page
    .locator('.job-list a')
    .filter({ has: page.getByText(plan.procedure.title, { exact: true }) })
    .filter({ hasText: plan.pack.revision })
    .first();
  await wanted.waitFor({ state: 'attached' });
  if (!(await wanted.isVisible())) await page.getByText('Older revisions', { exact: true }).tap();
  await wanted.tap();
  await page.locator('.variants').getByText(plan.variant.title, { exact: true }).tap();
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

/** A job that was begun on a server of its own, by somebody who goes on with it there. */
export interface Begun {
  readonly rig: PageRig;
  readonly url: string;
  readonly context: BrowserContext;
  readonly page: Page;
  readonly worker: Worker;
  readonly job: string;
  /** What the page reported as an error since. */
  readonly faults: readonly string[];
}

/** A page whose errors are gathered. */
export async function watched(
  context: BrowserContext,
): Promise<{ readonly page: Page; readonly faults: string[] }> {
  const page = await context.newPage();
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  return { page, faults };
}

/** Begins a job on a server of its own. The clock of the page can be moved, as that of the server can. */
export async function begun(
  browser: Browser,
  work: Work,
  hands: Hands,
  options: BrowserContextOptions = {},
  shelves?: readonly string[],
): Promise<Begun> {
  const rig = new PageRig(shelves);
  const url = await rig.listen();
  const context = await device(browser, options);
  const { page, faults } = await watched(context);
  await page.clock.install();
  const worker = new Worker(rig, work, hands);
  const job = await beginOn(page, url, work, worker).catch(async (fault: unknown) => {
    const shown = await page.locator('body').textContent();
    throw new Error(`${String(fault)}\nAt ${page.url()} stands:\n${shown}\n${faults.join('\n')}`);
  });
  return { rig, url, context, page, worker, job, faults };
}
