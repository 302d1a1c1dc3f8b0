import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { inventedFolder } from '../compare/invented-packs.ts';
import { InventedJobs, type KnownTally } from '../compare/invented-store.ts';
import { faultsOfAxe } from './axe-on.ts';
import { canBrowse, device, launch, onceMore, PageRig, pageKept } from './page-rig.ts';

const JOBS = 90;

describe.runIf(canBrowse)('jobs judged again and found on the page, in Chromium', onceMore, () => {
  const shelf = mkdtempSync(join(tmpdir(), 'ferrule-shelf-'));
  let browser: Browser;
  let rig: PageRig;
  let url: string;
  let page: Page;
  let known: KnownTally;
  const faults: string[] = [];

  beforeAll(async () => {
    for (const revision of ['1.0.0', '1.1.0'] as const)
      cpSync(inventedFolder(revision), join(shelf, 'marram-bore-survey', revision), { recursive: true });
    rig = new PageRig([shelf]);
    // Invented jobs, of which it is known from elsewhere what the newer revision makes of them.
    known = (await InventedJobs.make()).write(rig.folder, JOBS, 7);
    [browser, url] = await Promise.all([launch(), rig.listen()]);
    page = await (await device(browser)).newPage();
    page.on('pageerror', (error) => faults.push(error.message));
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    await rig?.end();
    rmSync(shelf, { recursive: true, force: true });
  });

  /** How many verdicts on something, at all bores, are known to become others. */
  const changedOf = (tolerance: string): number =>
    [...known]
      .filter(([name]) => name.startsWith(tolerance))
      .flatMap(([, pairs]) => [...pairs])
      .reduce((sum, [pair, count]) => {
        const [was, now] = pair.split(' → ');
        return now === undefined || was === now ? sum : sum + count;
      }, 0);

  /** How many verdicts on something, at all bores, were nonconforming then, whatever they are now. */
  const notThen = (tolerance: string): number =>
    [...known]
      .filter(([name]) => name.startsWith(tolerance))
      .flatMap(([, pairs]) => [...pairs])
      .reduce((sum, [pair, count]) => sum + (pair.startsWith('nonconforming') ? count : 0), 0);

  test('begun from the list of jobs, followed, read, and still there after the page was opened anew', async () => {
    await page.goto(`${url}/`);
    await page.getByRole('link', { name: 'Judge jobs again' }).tap();
    // The newest revision stands first.
    const chosen = page.getByLabel('Revision');
    await chosen.waitFor();
    expect(await page.getByLabel('Pack').inputValue()).toBe('marram-bore-survey');
    expect(await chosen.inputValue()).toBe('1.1.0');
    await page.getByRole('button', { name: 'Judge the jobs' }).tap();
    await page.getByRole('heading', { name: 'Done by 1.0.0: survey, marram-six' }).waitFor();
    const all = changedOf('');
    expect(all).toBeGreaterThan(50);
    await page.getByText(`${all} verdicts of ${JOBS} jobs come out otherwise under 1.1.0.`).waitFor();
    const address = page.url();
    await page.reload();
    await page.getByRole('heading', { name: 'Done by 1.0.0: survey, marram-six' }).waitFor();
    expect(page.url()).toBe(address);
    await page.goto(`${url}/#/judged`);
    await page.getByRole('link', { name: 'Bore survey of the Marram six-cylinder, by 1.1.0' }).tap();
    await page.waitForURL(address);
  });

  test('each thing that is judged has its limits then and now, what came of it, the change, and its jobs', async () => {
    const drops = page.locator('.change').filter({ hasText: 'drops-limits' }).first();
    await drops.waitFor();
    expect(await drops.locator('.side-value').allTextContents()).toEqual(['at most 6', 'at most 4']);
    await drops.getByRole('img', { name: '1.0.0 permitted at most 6; 1.1.0 permits at most 4' }).waitFor();
    // By hand: whoever had more than six does not conform then, and whoever has more than four does not now.
    const drawn = await drops.getByRole('img', { name: 'values, mean' }).getAttribute('aria-label');
    const wasAbove = notThen('drops-limits@');
    expect(drawn).toContain(`, ${wasAbove} above; by 1.1.0`);
    expect(drawn).toMatch(new RegExp(`, ${wasAbove + changedOf('drops-limits@')} above$`));
    expect(await drops.locator('.post-older').allTextContents()).toEqual(['6']);
    const changed = changedOf('drops-limits@');
    expect(changed).toBeGreaterThan(10);
    expect(await drops.locator('.tally li').allTextContents()).toContain(
      `${changed}conforming to nonconforming`,
    );
    // What did not exist then cannot be judged, and the reason stands beside it.
    const backlash = page.locator('.change').filter({ hasText: 'arm-backlash-limits' }).first();
    expect(await backlash.textContent()).toContain(
      'cannot be judged: it rests on a reading that did not exist then',
    );
    expect(await faultsOfAxe(page)).toEqual([]);
    await drops.getByRole('button', { name: 'Which jobs' }).tap();
    expect(await page.getByLabel('Judged', { exact: false }).first().inputValue()).toBe('drops-limits');
    await page
      .getByRole('status')
      .filter({ hasText: `${changed} verdicts in` })
      .waitFor();
    const first = page.locator('.touched > li').first();
    expect(await first.locator('.touched-row').first().textContent()).toMatch(
      /drops-limits@\d, fact \d+then conforming [56], limits at most 6now nonconforming [56], limits at most 4/,
    );
    const name = await first.locator('h3 a').first().textContent();
    const [card] = await Promise.all([
      page.context().waitForEvent('page'),
      first.getByRole('link', { name: 'Job card' }).tap(),
    ]);
    await card
      .getByText(name ?? '', { exact: false })
      .first()
      .waitFor();
    await card.close();
    await drops.getByRole('link', { name: 'tightened' }).tap();
    await page.getByText('1 of', { exact: false }).first().waitFor();
    expect(await page.locator('.change-says').allTextContents()).toEqual([
      expect.stringContaining('the permitted range was at most 6, and is now at most 4'),
    ]);
  });

  test('every verdict that is not what it was can be come to, by what became of it and page by page', async () => {
    await page.goto(`${url}/#/judged`);
    await page.getByRole('link', { name: 'Bore survey of the Marram six-cylinder, by 1.1.0' }).tap();
    const worse = [...known]
      .flatMap(([, pairs]) => [...pairs])
      .filter(([pair]) => pair === 'conforming → nonconforming')
      .reduce((sum, [, count]) => sum + count, 0);
    await page.getByLabel('What became of it').selectOption('conforming to nonconforming');
    const status = page.getByRole('status').filter({ hasText: 'verdicts in' });
    await status.filter({ hasText: `${worse} verdicts in` }).waitFor();
    const [, jobs = ''] = / in (\d+) jobs/.exec((await status.textContent()) ?? '') ?? [];
    const pages = Math.ceil(Number(jobs) / 25);
    expect(pages).toBeGreaterThan(2);
    const seen = new Set<string>();
    let verdicts = 0;
    for (let at = 1; ; at += 1) {
      for (const name of await page.locator('.touched h3 a:first-child').allTextContents()) seen.add(name);
      verdicts += await page.locator('.touched-row').count();
      const on = page.getByRole('button', { name: 'On', exact: true });
      if (await on.isDisabled()) {
        expect(at).toBe(pages);
        break;
      }
      await on.tap();
      await page
        .locator('.pages')
        .getByText(`${at * 25 + 1} to`)
        .waitFor();
    }
    expect(seen.size).toBe(Number(jobs));
    expect(verdicts).toBe(worse);
    await page.getByLabel('Page', { exact: true }).fill('2');
    await page.keyboard.press('Tab');
    await page.locator('.pages').getByText('26 to').waitFor();
    // Another choice begins at the first page.
    await page.getByLabel('What became of it').selectOption('');
    await page.locator('.pages').getByText('1 to 25').waitFor();
    expect(await faultsOfAxe(page)).toEqual([]);
    await page.goto(`${url}/`);
  });

  test('one that a server has cut off is taken up again under its id', async () => {
    const kept = join(rig.folder, 'rejudgings');
    const [folder = ''] = readdirSync(kept);
    const file = join(kept, folder, 'rejudging.json');
    const done = JSON.parse(readFileSync(file, 'utf8'));
    // As a server leaves it that is killed in the middle.
    writeFileSync(file, JSON.stringify({ ...done, state: 'under-way', jobs: { total: JOBS, done: 30 } }));
    await page.goto(`${url}/#/judged/${done.id}`);
    await page.getByText('The server ended before it was done.').waitFor();
    await page.getByText(`30 of ${JOBS} jobs; cut off`).waitFor();
    await page.getByRole('button', { name: 'Take it up again' }).tap();
    await page.getByRole('heading', { name: 'Done by 1.0.0: survey, marram-six' }).waitFor();
    expect(JSON.parse(readFileSync(file, 'utf8'))).toMatchObject({ id: done.id, state: 'done' });
  });

  test('jobs are found by what was used in them, and what was asked for outlives the page', async () => {
    await page.goto(`${url}/`);
    await page.getByRole('link', { name: 'Which jobs' }).tap();
    // Who asks for nothing is shown them all, some at a time.
    await page.getByRole('button', { name: 'Find the jobs' }).tap();
    await page.getByText('50 jobs, and there are more').waitFor();
    await page.getByRole('button', { name: 'More jobs' }).tap();
    await page.getByText(`${JOBS} jobs`).waitFor();
    await page.getByLabel('Instrument, the number on it').fill('DG-02');
    await page.getByRole('button', { name: 'Find the jobs' }).tap();
    const listed = (await (await fetch(`${url}/jobs?instrument=DG-02`)).json()) as {
      readonly jobs: readonly object[];
    };
    expect(listed.jobs.length).toBeGreaterThan(10);
    expect(listed.jobs.length).toBeLessThan(JOBS);
    await page
      .getByRole('status')
      .filter({ hasText: `${listed.jobs.length} jobs` })
      .waitFor();
    for (const one of await page.locator('.found-with').allTextContents()) expect(one).toContain('DG-02');
    await page.reload();
    await page
      .getByRole('status')
      .filter({ hasText: `${listed.jobs.length} jobs` })
      .waitFor();
    expect(await page.getByLabel('Instrument, the number on it').inputValue()).toBe('DG-02');
    await page.getByLabel('Hold that was open').fill('no-such-hold');
    await page.getByRole('button', { name: 'Find the jobs' }).tap();
    await page.getByText('No job of this store has all of that in its record.').waitFor();
    await page.getByText('No job here has stood at the hold no-such-hold.').waitFor();
    await page.getByLabel('Hold that was open').fill('');
    await page.getByLabel('Instrument, the number on it').fill('<img src=x onerror=document.title=1>');
    await page.getByRole('button', { name: 'Find the jobs' }).tap();
    await page.getByText('No job of this store has all of that in its record.').waitFor();
    expect(await page.locator('#page img').count()).toBe(0);
    expect(await page.title()).toBe('Ferrule');
    expect(faults).toEqual([]);
  });

  test('readings lie against a limit: in all, by bore and by instrument', async () => {
    await page.goto(`${url}/`);
    await page.getByRole('link', { name: 'Readings against a limit' }).tap();
    const of = page.getByLabel('Limits or reading, by name');
    // Whoever does not know the names is offered those of the pack.
    await page.locator('datalist option[value="drops-limits"]').waitFor({ state: 'attached' });
    await of.fill('no-such-limits');
    await page.getByRole('button', { name: 'Show how they lie' }).tap();
    // What there is stands there, and leads on.
    await page.getByRole('link', { name: 'drops-limits' }).tap();
    await page.getByRole('heading', { name: 'at most 6' }).waitFor();
    expect(await of.inputValue()).toBe('drops-limits');
    const bores = page.getByRole('table', { name: 'In all and by bore' });
    expect(await bores.getByRole('rowheader').allTextContents()).toEqual([
      'in all',
      '1',
      '2',
      '3',
      '4',
      '5',
      '6',
    ]);
    // By what is known of the store: every verdict then, whatever it is now.
    const wereNot = notThen('drops-limits@');
    const inAll = await bores.getByRole('row').nth(1).getByRole('cell').allTextContents();
    expect(inAll.at(-1)).toBe(`${wereNot} not conforming`);
    await of.fill('follower-lift-limits');
    await page.getByRole('button', { name: 'Show how they lie' }).tap();
    const instruments = page.getByRole('table', { name: 'By instrument' });
    await instruments.waitFor();
    expect(await instruments.getByRole('rowheader').allTextContents()).toEqual(['DG-01', 'DG-02', 'DG-03']);
    await page.getByRole('img', { name: 'below the limits' }).waitFor();
    expect(await faultsOfAxe(page)).toEqual([]);
    expect(faults).toEqual([]);
  });

  test('where the server asks for its token, reports and rows come with what the page was told', async () => {
    const token = 'Zk3v-8Qd0r_1xYb7LmN5tGh2PwEj9sUa';
    const guarded = new PageRig([shelf], token);
    (await InventedJobs.make()).write(guarded.folder, 10, 7);
    const at = await guarded.listen();
    const context = await device(browser, { acceptDownloads: true });
    const own = await context.newPage();
    await own.goto(`${at}/#/judged`);
    await own.getByLabel('Token').first().fill(token);
    await own.getByRole('button', { name: 'Go on' }).first().tap();
    await pageKept(own);
    await own.getByRole('button', { name: 'Judge the jobs' }).tap();
    await own.getByRole('heading', { name: 'Done by 1.0.0: survey, marram-six' }).waitFor();
    const [printed] = await Promise.all([
      context.waitForEvent('page'),
      own.getByRole('link', { name: 'As a page to print' }).tap(),
    ]);
    await printed.getByRole('heading', { name: 'Jobs judged again' }).waitFor();
    const [rows] = await Promise.all([
      own.waitForEvent('download'),
      own.getByRole('button', { name: 'Rows for a spreadsheet' }).tap(),
    ]);
    expect(readFileSync(await rows.path(), 'utf8')).toMatch(/^job,revision,.*\r\n"survey-/);
    // On a screen that asks for two things it is given once.
    const other = await device(browser);
    const fresh = await other.newPage();
    await fresh.goto(`${at}/#/readings?pack=marram-bore-survey&of=drops-limits`);
    await fresh.getByLabel('Token').fill(token);
    await fresh.getByRole('button', { name: 'Go on' }).tap();
    await fresh.getByRole('heading', { name: 'at most 6' }).waitFor();
    await fresh
      .locator('option')
      .filter({ hasText: 'Bore survey of the Marram six-cylinder' })
      .waitFor({ state: 'attached' });
    await fresh.evaluate('sessionStorage.clear()');
    for (const screen of ['readings', 'find', 'compare', 'pack', 'judged']) {
      await fresh.goto('about:blank');
      await fresh.goto(`${at}/#/${screen}`);
      await fresh.getByLabel('Token').waitFor();
    }
    await other.close();
    await context.close();
    await guarded.end();
  });
});
