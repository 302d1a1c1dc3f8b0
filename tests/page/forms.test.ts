import { fileURLToPath } from 'node:url';
import type { FactBody } from '@ferrule/engine';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { type Begun, begun } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { canBrowse, launch, onceMore } from './page-rig.ts';
import { jobOf, type Work, workOf } from './worker.ts';

const here = fileURLToPath(new URL('packs', import.meta.url));

describe.runIf(canBrowse)('what was typed in a form, in Chromium', onceMore, () => {
  let browser: Browser;
  let work: Work;
  let on: Begun | undefined;
  beforeAll(async () => {
    [browser, work] = await Promise.all([
      launch(),
      workOf('holds-demo/1.0.0', 'look-twice', 'marram-two', 'looked', here),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await on?.context.close();
    await on?.rig.end();
  });

  /** The job, gone on with until there is a fact of a kind, or of this step. */
  async function until(kind: FactBody['kind'], step = ''): Promise<Begun> {
    const one = await begun(browser, work, byTouch, {}, [here]);
    on = one;
    await one.worker.goOn(one.page, one.job, ({ facts }) =>
      facts.some(({ fact }) => fact.kind === kind && (!('step' in fact) || fact.step.endsWith(step))),
    );
    return one;
  }

  test('to release one hold is not there for the hold that follows on it', async () => {
    const { page, rig, job } = await until('judged');
    await page.getByRole('heading', { name: 'The lead looks at the rack.' }).waitFor();
    const reason = page.getByLabel('Reason, for the record');
    await reason.fill('The rack moves freely.');
    await byTouch.press(page, /^lead C .*releases it$/);
    await page.getByRole('heading', { name: 'The lead looks at the stop.' }).waitFor();
    expect(await reason.inputValue()).toBe('');
    await reason.fill('The stop moves freely.');
    await byTouch.press(page, /^lead C .*releases it$/);
    await page.getByRole('heading', { name: 'Cover the engine.' }).waitFor();
    await expect
      .poll(() =>
        jobOf(work, rig.store, job).facts.flatMap(({ fact }) =>
          fact.kind === 'released' ? [fact.reason] : [],
        ),
      )
      .toEqual(['The rack moves freely.', 'The stop moves freely.']);
  }, 300_000);

  test('beside the step is kept while it is folded up, without the refusal, and goes to no other entry', async () => {
    const { page, worker, job } = await until('filled');
    const form = page.locator('.just-now .aside-form');
    const title = form.locator('summary');
    const reason = form.getByLabel('Why it is struck');
    await title.tap();
    await form.getByRole('button', { name: 'Strike it' }).tap();
    await form.locator('.refusals').waitFor();
    await reason.fill('It was read on the other engine.');
    await title.tap();
    await form.getByRole('button', { name: 'Strike it' }).waitFor({ state: 'hidden' });
    await title.tap();
    await reason.waitFor();
    expect(await reason.inputValue()).toBe('It was read on the other engine.');
    expect(await form.locator('.refusals').count()).toBe(0);
    await worker.goOn(
      page,
      job,
      ({ facts }) => facts.filter(({ fact }) => fact.kind === 'filled').length > 1,
    );
    await page.getByText('Berth of the boat: Inner quay').waitFor();
    if (!(await reason.isVisible())) await title.tap();
    await reason.waitFor();
    expect(await reason.inputValue()).toBe('');
  }, 300_000);

  test('counts in the unit that is typed behind it, also one that is not among the handy ones to choose', async () => {
    const one = await until('done', 'measure');
    const { page, rig, job } = one;
    const unit = page.getByLabel('Unit');
    expect(await unit.locator('option').allTextContents()).toEqual(['mm', 'in', 'cm', 'µm', 'mil']);
    expect(await unit.inputValue()).toBe('mm');
    // What the step says is not said once more above it.
    expect(await page.locator('.step-place').textContent()).toBe('As the engine came');
    await byTouch.type(page, '#entry', '0.0200 m');
    await byTouch.press(page, 'Enter');
    await expect
      .poll(() => jobOf(work, rig.store, job).facts.find(({ fact }) => fact.kind === 'reading')?.fact)
      .toMatchObject({ digits: '0.0200', unit: 'm' });
  }, 300_000);

  test('is folded up once it is taken, and whoever works by keys goes on at its title', async () => {
    const { page } = await until('done', 'measure');
    const form = page.locator('.step .aside-form').filter({ hasText: 'Name a rack gauge' }).first();
    await form.locator('summary').first().tap();
    await form.getByLabel('number on it').fill('RG-2');
    await form.getByLabel('Calibrated until').fill('2099-12-31');
    await form.getByRole('button', { name: 'Name it' }).press('Enter');
    await form.getByRole('button', { name: 'Name it' }).waitFor({ state: 'hidden' });
    expect(await page.evaluate('document.activeElement.textContent')).toBe('Name a rack gauge');
    await page.keyboard.press('Enter');
    await form.getByLabel('number on it').waitFor();
    expect(await form.getByLabel('number on it').inputValue()).toBe('');
  }, 300_000);
});
