import { cpSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import { begun } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { note, openMore } from './open-more.ts';
import { canBrowse, device, launch, onceMore, type PageRig, pageKept } from './page-rig.ts';
import { jobOf, type Work, type Worker, workOf } from './worker.ts';

describe.runIf(canBrowse)('the page without a server, and beside another one, in Chromium', onceMore, () => {
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
    ({ rig, url, context, page, worker, job } = await begun(browser, work, byTouch));
    await worker.goOn(page, job, ({ facts }) => facts.some(({ fact }) => fact.kind === 'acknowledged'));
  });
  afterEach(async () => {
    await context.close();
    await rig.end();
  });

  const facts = (): number => rig.store.read(job).facts?.length ?? 0;
  const link = (on = page) => on.locator('.link');
  const stored = (on = page) => link(on).filter({ hasText: 'all stored' }).waitFor();

  /** The texts of all notes that are stored. */
  const noted = (): readonly string[] =>
    jobOf(work, rig.store, job).facts.flatMap(({ fact }) => (fact.kind === 'noted' ? [fact.text] : []));

  /** The same job on another device. */
  async function another(): Promise<Page> {
    const other = await (await device(browser)).newPage();
    await other.goto(`${url}/#/job/${job}`);
    await other.locator('.step').waitFor();
    return other;
  }

  test('commands wait on the device, outlive the page, and are stored once the server is there again', async () => {
    const before = facts();
    await rig.stop();
    await note(page, 'first, without a server');
    await link().filter({ hasText: '1 not stored, kept here' }).waitFor();
    const time = page.getByText('Its time in the record will be that of storing it.');
    await time.waitFor();
    await note(page, 'second, without a server');
    await link().filter({ hasText: '2 not stored, kept here' }).waitFor();
    expect(facts()).toBe(before);
    await rig.restart();
    await stored();
    await time.waitFor({ state: 'detached' });
    expect(noted()).toEqual(['first, without a server', 'second, without a server']);
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
    const form = await openMore(page, 'Close as unfinished');
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
    const other = await another();
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
    const other = await another();
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
    expect(noted()).toEqual(['from the second device', 'from the first device']);
    await other.context().close();
  });

  test('a conflict is shown as soon as the stream brings what somebody else did, before any answer', async () => {
    const other = await another();
    // Commands do not get through, while the stream goes on.
    await page.route('**/commands', (route) => route.abort());
    await note(page, 'from the first device');
    await link().filter({ hasText: '1 not stored' }).waitFor();
    await note(other, 'from the second device');
    await stored(other);
    await page.locator('.conflict').filter({ hasText: 'Note: from the first device' }).waitFor();
    expect(noted()).toEqual(['from the second device']);
    await page.unroute('**/commands');
    await page.getByRole('button', { name: 'It still holds: give it again' }).tap();
    await stored();
    expect(noted()).toEqual(['from the second device', 'from the first device']);
    await other.context().close();
  });

  test('what no longer fits can be left out', async () => {
    const other = await another();
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

  test('once opened, page and job are opened again without a network, gone on with, and all of it is stored', async () => {
    await pageKept(page);
    await context.setOffline(true);
    await rig.stop();
    await page.reload();
    await page.locator('.step').waitFor();
    await note(page, 'after opening it without a network');
    await link().filter({ hasText: '1 not stored, kept here' }).waitFor();
    await page.reload();
    await link().filter({ hasText: '1 not stored, kept here' }).waitFor();
    await note(page, 'and once more');
    await link().filter({ hasText: '2 not stored, kept here' }).waitFor();
    await rig.restart();
    await context.setOffline(false);
    await stored();
    expect(noted()).toEqual(['after opening it without a network', 'and once more']);
    expect(rig.store.verify(job).findings).toEqual([]);
  });

  test('when the server is killed in the middle of the work, the page is opened again and goes on where it was', async () => {
    await pageKept(page);
    await worker.goOn(page, job, ({ facts: all }) => all.some(({ fact }) => fact.kind === 'judged'));
    const title = await page.locator('#step-title').textContent();
    await rig.stop();
    await page.reload();
    await page
      .locator('#step-title')
      .filter({ hasText: title ?? '' })
      .waitFor();
    await byTouch.press(page, 'Done');
    await link().filter({ hasText: '1 not stored, kept here' }).waitFor();
    const before = facts();
    await rig.restart();
    await stored();
    expect(facts()).toBeGreaterThan(before);
    await worker.goOn(page, job);
    expect(jobOf(work, rig.store, job).control.closed).toBe('finished');
  });

  test('the first screen lists what this device has seen where the server is not reached', async () => {
    await pageKept(page);
    await rig.stop();
    await page.goto(`${url}/#/`);
    await page.reload();
    await page.getByRole('heading', { name: 'Seen on this device' }).waitFor();
    await page.getByRole('link', { name: work.plan.procedure.title }).tap();
    await page.locator('.step').waitFor();
    await page.goto(`${url}/#/`);
    await page.getByRole('heading', { name: 'Seen on this device' }).waitFor();
    await rig.restart();
    // By itself, without anything being pressed.
    await page.getByRole('heading', { name: 'Under way' }).waitFor();
  });

  test('a newer page is told, taken up when the person wants it, and then kept', async () => {
    await pageKept(page);
    await rig.stop();
    const newer = newerPageOf(rig.page);
    rig.page = newer;
    await rig.restart();
    // The old page goes on as it was, also with what it had not loaded by then and the server no longer has.
    await page.goto(`${url}/#/begin`);
    await page.locator('.job-list').first().waitFor();
    await page.evaluate("document.dispatchEvent(new Event('visibilitychange'))");
    await page.locator('.newer-page').filter({ hasText: 'There is a newer version of this page.' }).waitFor();
    expect(await page.title()).toBe('Ferrule');
    await page.getByRole('button', { name: 'Take it up' }).tap();
    await page.waitForFunction("document.title === 'Newer'");
    expect(await page.locator('.newer-page').count()).toBe(0);
    await rig.stop();
    await page.goto(`${url}/#/job/${job}`);
    await page.reload();
    await page.locator('.step').waitFor();
    expect(await page.title()).toBe('Newer');
    await rig.restart();
    rmSync(newer, { recursive: true, force: true });
  });

  test('what is kept has the policy that the server sends', async () => {
    await pageKept(page);
    const policyOf = async (): Promise<string | undefined> =>
      (await page.reload())?.headers()['content-security-policy'];
    const sent = await policyOf();
    await rig.stop();
    expect(await policyOf()).toBe(sent);
    expect(sent).toContain("default-src 'none'");
    expect(sent).not.toContain('unsafe');
    expect(
      await page.evaluate(`new Promise((done) => {
        addEventListener('securitypolicyviolation', ({ effectiveDirective }) => done(effectiveDirective));
        document.body.append(Object.assign(document.createElement('script'), { textContent: 'document.title = "run"' }));
        setTimeout(() => done('none'), 5000);
      })`),
    ).toMatch(/^script-src/);
    await rig.restart();
  });
});

/** The page as a later build has it: every file that it loads is called otherwise, and so are its title and the build in its worker. */
function newerPageOf(built: string): string {
  const newer = mkdtempSync(join(tmpdir(), 'ferrule-newer-'));
  cpSync(built, newer, { recursive: true });
  const assets = readdirSync(join(newer, 'assets'));
  const renamed = (text: string): string =>
    assets.reduce((all, name) => all.replaceAll(name, `later-${name}`), text);
  for (const name of ['index.html', 'worker.js', ...assets.map((one) => `assets/${one}`)]) {
    const file = join(newer, name);
    const text = renamed(readFileSync(file, 'utf8'));
    const isWorker = name === 'worker.js';
    writeFileSync(
      file,
      isWorker ? text.replace(/\b[0-9a-f]{12}\b/, 'later') : text.replace('<title>Ferrule<', '<title>Newer<'),
    );
  }
  for (const name of assets) renameSync(join(newer, 'assets', name), join(newer, 'assets', `later-${name}`));
  return newer;
}
