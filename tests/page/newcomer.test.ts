import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { makeDemonstrationJobs } from '../../packages/cli/src/demonstration/demonstration-jobs.ts';
import { canBrowse, device, launch, onceMore, PageRig, root } from './page-rig.ts';

/** Presses of somebody who goes round in a circle. */
const MOST_PRESSES = 60;

describe.runIf(canBrowse)('somebody who has never seen the page', onceMore, () => {
  let browser: Browser;
  let rig: PageRig;
  beforeAll(async () => {
    rig = new PageRig();
    browser = await launch();
  });
  afterAll(async () => {
    await browser?.close();
    await rig?.end();
  });

  test('finishes the job on top of the demonstration by what stands on the screen alone', async () => {
    expect(await makeDemonstrationJobs(root, rig.folder, new Date())).toBeUndefined();
    const url = await rig.listen();
    const page = await (await device(browser)).newPage();
    await page.goto(`${url}/`);
    await page.locator('.job-list a').first().tap();
    await page.locator('.step').waitFor();
    const isClosed = page.getByRole('heading', { name: 'The job is closed' });
    for (let presses = 0; (await isClosed.count()) === 0; presses++) {
      expect(presses).toBeLessThan(MOST_PRESSES);
      const step = page.locator('article.step');
      const before = await step.textContent();
      // A reading is asked for: the first of the two limits that stand there is a value that will do.
      const [limit] = (await step.locator('.entry-limits').allTextContents())[0]?.split(' to ') ?? [];
      if (limit !== undefined) await page.locator('#entry').fill(limit);
      await step.locator('button.main').first().tap();
      await page.waitForFunction(
        `document.querySelector('article.step')?.textContent !== ${JSON.stringify(before)}`,
      );
    }
    const job = rig.store
      .list({ state: 'closed' })
      .jobs.find(({ procedure }) => procedure === 'set-clearances');
    // What was bad when it was taken over was set right by then, and nothing new was.
    expect(job?.nonconforming).toBe(1);
    expect(job?.concessions).toBe(0);
  });
});
