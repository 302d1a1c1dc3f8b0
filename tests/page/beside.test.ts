import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FactBody } from '@ferrule/engine';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { fencedBlocks } from '../docs/fenced-blocks.ts';
import { faultsOfAxe } from './axe-on.ts';
import { type Begun, beginOn, begun } from './begin-on.ts';
import { picture } from './give-on-page.ts';
import { byKeys, byTouch, type Hands } from './hands.ts';
import { openMore } from './open-more.ts';
import { canBrowse, device, launch, onceMore } from './page-rig.ts';
import { jobOf, type Work, Worker, workOf } from './worker.ts';

const here = fileURLToPath(new URL('packs', import.meta.url));
const page = fileURLToPath(new URL('../../docs/carried-values.md', import.meta.url));

const ways: readonly (readonly [string, Hands])[] = [
  ['by touch', byTouch],
  ['by keys alone', byKeys],
];

describe.runIf(canBrowse)('what stands beside the step, in Chromium', onceMore, () => {
  let browser: Browser;
  let work: Work;
  let on: Begun | undefined;
  const shelf = mkdtempSync(join(tmpdir(), 'ferrule-shelf-'));
  beforeAll(async () => {
    for (const { info, text } of fencedBlocks(readFileSync(page, 'utf8'))) {
      const [, path] = /^yaml file (.*)$/.exec(info) ?? [];
      if (path === undefined) continue;
      mkdirSync(join(shelf, dirname(path)), { recursive: true });
      writeFileSync(join(shelf, path), text);
    }
    [browser, work] = await Promise.all([
      launch(),
      workOf('nozzles-demo/1.0.0', 'set-nozzles', 'marram-two', 'set', here),
    ]);
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(shelf, { recursive: true, force: true });
  });
  afterEach(async () => {
    await on?.context.close();
    await on?.rig.end();
  });

  /** A job of the pack of nozzles, gone on with until there are so many facts of a kind, or until a step is done. */
  async function underWay(hands: Hands, kind: FactBody['kind'], times: number | string = 1): Promise<Begun> {
    const one = await begun(browser, work, byTouch, {}, [here]);
    on = one;
    await one.worker.goOn(one.page, one.job, ({ facts }) => {
      const found = facts.filter(({ fact }) => fact.kind === kind);
      return typeof times === 'number'
        ? found.length >= times
        : found.some(({ fact }) => 'step' in fact && fact.step.endsWith(times));
    });
    if (hands === byKeys) await one.page.locator('#step-title').focus();
    return one;
  }

  const factsOf = ({ rig, job }: Begun) => jobOf(work, rig.store, job).facts;
  const lastOf = (one: Begun, kind: FactBody['kind']): unknown =>
    factsOf(one).findLast(({ fact }) => fact.kind === kind);

  /** Waits until a fact of a kind is stored. */
  async function stored(one: Begun, kind: FactBody['kind'], times = 1): Promise<void> {
    await expect
      .poll(() => factsOf(one).filter(({ fact }) => fact.kind === kind).length, { timeout: 60_000 })
      .toBe(times);
  }

  test.each(ways)(
    'an instrument that is overdue is allowed by whom the procedure names, under their name, %s',
    async (_, hands) => {
      const one = await underWay(hands, 'done', '/try');
      await hands.open(one.page, 'Name a nozzle tester');
      await hands.type(one.page, 'Nozzle tester: number on it', 'NT-OLD');
      await one.page.getByLabel('Calibrated until').last().fill('2020-01-31');
      await one.page.getByText('overdue since 2020-01-31').first().waitFor();
      await hands.press(one.page, 'Name it');
      await stored(one, 'equipped');
      await one.page.locator('#entry').focus();
      await hands.type(one.page, '#entry', '205');
      await hands.press(one.page, 'Enter');
      await one.page.getByText('The calibration of NT-OLD ran out on 2020-01-31.').waitFor();
      expect(await faultsOfAxe(one.page)).toEqual([]);
      await hands.type(one.page, 'Why it is allowed', 'It was compared with the good one this morning.');
      await hands.press(one.page, 'lead C (lead) allows it');
      await stored(one, 'allowed');
      await hands.press(one.page, 'Enter');
      await stored(one, 'reading');
      expect(lastOf(one, 'allowed')).toMatchObject({
        by: 'lead C',
        fact: { instrument: 'NT-OLD', because: 'instrument-overdue' },
      });
      expect(lastOf(one, 'reading')).toMatchObject({
        by: 'technician A',
        fact: { instrument: { identity: 'NT-OLD', due: '2020-01-31' } },
      });
      expect(one.faults).toEqual([]);
    },
    300_000,
  );

  test.each(ways)(
    'a size that is not in the drawer is not chosen, until it is there again, %s',
    async (_, hands) => {
      const one = await underWay(hands, 'reading', 2);
      const taken = one.page.locator('.choice');
      await taken.filter({ hasText: '1.10 mm: predicted 215 bar' }).waitFor();
      await hands.open(one.page, /^Shim of the nozzle holder: what is in the drawer/);
      await hands.choose(one.page, '1.10 mm');
      await taken.filter({ hasText: '1.05 mm: predicted 210 bar' }).waitFor();
      await one.page.getByText('(not there: 1.10 mm)').waitFor();
      expect(await faultsOfAxe(one.page)).toEqual([]);
      await hands.choose(one.page, '1.10 mm');
      await taken.filter({ hasText: '1.10 mm: predicted 215 bar' }).waitFor();
      await stored(one, 'out-of-stock', 2);
      expect(lastOf(one, 'out-of-stock')).toMatchObject({ fact: { size: '1.10 mm', back: true } });
      expect(one.faults).toEqual([]);
    },
    300_000,
  );

  test.each(ways)(
    'an older entry is struck, with what falls with it shown before, %s',
    async (_, hands) => {
      const one = await underWay(hands, 'judged', 2);
      const first = factsOf(one).find(({ fact }) => fact.kind === 'reading');
      await openMore(one.page, 'An earlier entry was wrong', hands);
      await hands.open(one.page, /^Bore 1: Pressure at which nozzle 1 opens, as it came: 205 bar$/);
      const falls = one.page.locator('.falls');
      await falls
        .filter({ hasText: 'To be done again' })
        .filter({ hasText: 'Pump nozzle 1 until it opens' })
        .waitFor();
      await falls.filter({ hasText: 'The job goes back to "Pump nozzle 1 until it opens"' }).waitFor();
      expect(await faultsOfAxe(one.page)).toEqual([]);
      await hands.type(one.page, 'Why it is struck', 'It was read on the other gauge.');
      await hands.press(one.page, 'Strike it');
      await stored(one, 'struck');
      expect(lastOf(one, 'struck')).toMatchObject({ fact: { target: first?.seq } });
      await one.page.getByRole('heading', { name: 'Pump nozzle 1 until it opens.' }).waitFor();
      expect(one.faults).toEqual([]);
    },
    300_000,
  );

  test('people and instruments that were named are taken by one touch, with what is overdue said, and can be forgotten', async () => {
    const one = await underWay(byTouch, 'done');
    const { page: on } = one;
    await openMore(on, 'Name an instrument');
    await on.getByLabel('Nozzle tester: number on it').fill('NT-OLD');
    await on.getByLabel('Calibrated until').last().fill('2020-01-31');
    await byTouch.press(on, 'Name it');
    await stored(one, 'equipped');
    await on.goto(`${one.url}/#/begin/nozzles-demo/1.0.0/set-nozzles`);
    await on.getByRole('button', { name: 'technician A' }).first().tap();
    expect(await on.getByLabel('Technician', { exact: true }).inputValue()).toBe('technician A');
    expect(await on.getByRole('button', { name: 'technician A' }).count()).toBe(0);
    await on.getByRole('button', { name: 'NT-OLD overdue since 2020-01-31' }).waitFor();
    await on.getByRole('button', { name: 'NT-1 good until 2099-12-31' }).tap();
    expect(await on.getByLabel('Calibrated until').inputValue()).toBe('2099-12-31');
    await byTouch.open(on, 'Remembered on this device');
    expect(await faultsOfAxe(on)).toEqual([]);
    for (const name of ['NT-OLD', 'lead C']) await on.getByRole('button', { name: `Forget ${name}` }).tap();
    await on.reload();
    await on.getByRole('button', { name: 'NT-1' }).waitFor();
    expect(await on.getByRole('button', { name: 'NT-OLD' }).count()).toBe(0);
    expect(await on.getByRole('button', { name: 'lead C' }).count()).toBe(0);
    expect(one.faults).toEqual([]);
  }, 300_000);

  test('nothing moves under the hand while an entry is being stored', async () => {
    const one = await underWay(byTouch, 'filled');
    const { page: on } = one;
    // The answer takes its time, as over the radio of a harbour.
    await on.route('**/commands', async (route) => {
      await new Promise((done) => setTimeout(done, 600));
      await route.continue();
    });
    await on.evaluate(`
      window.tops = new Set();
      const look = () => { window.tops.add(document.querySelector('.way').getBoundingClientRect().top + scrollY); requestAnimationFrame(look); };
      look();`);
    await byTouch.press(on, 'Done');
    await on.getByRole('heading', { name: 'Pump nozzle 1 until it opens.' }).waitFor();
    await on.locator('.link').filter({ hasText: 'being stored' }).waitFor({ state: 'attached' });
    await on.locator('.link').filter({ hasText: 'all stored' }).waitFor({ state: 'attached' });
    expect(await on.evaluate('[...window.tops].length')).toBe(1);
  }, 300_000);

  test('the next step has the focus as soon as it stands there, so that no key goes nowhere', async () => {
    const { page: on } = await underWay(byTouch, 'filled');
    // A step is drawn before the next key can come. What waits for a frame is not done by then.
    const [focused, title] = await on.evaluate<readonly string[]>(`(async () => {
      const done = document.querySelector('.step .main');
      done.focus();
      done.click();
      for (let waits = 0; waits < 5; waits++) await Promise.resolve();
      return [document.activeElement.id, document.querySelector('#step-title').textContent];
    })()`);
    expect(title).toBe('Pump nozzle 1 until it opens.');
    expect(focused).toBe('step-title');
  }, 300_000);

  test('what was struck is no longer shown as judged', async () => {
    const valves = await workOf('valve-clearance/1.0.0', 'set-clearances', 'marram-four', 'all-inside');
    on = await begun(browser, valves, byTouch);
    const { page: small, worker, job } = on;
    await worker.goOn(small, job, ({ facts }) => facts.some(({ fact }) => fact.kind === 'judged'));
    const verdicts = small.locator('.known .verdicts li');
    await verdicts.filter({ hasText: 'conforming' }).waitFor();
    await byTouch.open(small, 'That was wrong');
    await byTouch.type(small, 'Why it is struck', 'It was the other valve.');
    await byTouch.press(small, 'Strike it');
    await small.getByText('Struck, and kept in the record: It was the other valve.').waitFor();
    expect(await small.locator('#known-title').textContent()).toBe('Bore 1');
    expect(await verdicts.count()).toBe(0);
  }, 300_000);

  test('a job is opened at its step, with its main action in sight on a telephone', async () => {
    const { url, job, context } = await underWay(byTouch, 'judged');
    const small = await context.newPage();
    await small.setViewportSize({ width: 360, height: 500 });
    await small.goto(`${url}/#/job/${job}`);
    await expect
      .poll(async () => {
        const box = await small.locator('.step .main').boundingBox({ timeout: 60_000 });
        return box !== null && box.y >= 0 && box.y + box.height <= 500;
      })
      .toBe(true);
  }, 300_000);

  test('the next step comes into sight, wherever the page was moved to', async () => {
    const { page: small } = await underWay(byTouch, 'filled');
    await small.setViewportSize({ width: 390, height: 500 });
    await small.evaluate(`
      window.scrollTo(0, document.body.scrollHeight);
      document.querySelector('.step .main').click();`);
    const next = small.getByRole('heading', { name: 'Pump nozzle 1 until it opens.' });
    await next.waitFor();
    // What is entered once it is done is said before.
    await small.getByText('Then: Bore 1: Pressure at which nozzle 1 opens, as it came').waitFor();
    await expect.poll(async () => (await next.boundingBox())?.y ?? -1).toBeGreaterThanOrEqual(0);
    expect((await next.boundingBox())?.y).toBeLessThan(500);
  }, 300_000);

  test('a step is done with a picture where none is asked for', async () => {
    const one = await underWay(byTouch, 'filled');
    await byTouch.open(one.page, 'With a picture');
    await one.page.locator('input[type=file]').setInputFiles(picture);
    await one.page.getByRole('heading', { name: 'Pump nozzle 1 until it opens.' }).waitFor();
    expect(lastOf(one, 'done')).toMatchObject({
      fact: { photograph: { digest: expect.stringMatching(/^sha256:/), name: 'picture.png' } },
    });
  }, 300_000);

  test('a time that is judged later runs where it can be seen, and how a value is worked out is shown on request', async () => {
    const one = await underWay(byTouch, 'judged', 3);
    const running = one.page
      .locator('.times')
      .filter({ hasText: 'Time that the nozzles lie open: at most 8 h' });
    await running.filter({ hasText: 'since "Lay the nozzles out" was done' }).waitFor();
    const before = await running.textContent();
    await one.page.clock.runFor(120_000);
    await expect.poll(() => running.textContent()).not.toBe(before);
    expect(await running.textContent()).toMatch(/^[23]:\d\d since/);
    const said = one.page.locator('.just-now');
    await said.filter({ hasText: 'rise 9 bar' }).waitFor();
    await byTouch.open(one.page, 'How it is worked out');
    await said.getByText('= opening set 214 bar − opening 205 bar').waitFor();
    expect(await faultsOfAxe(one.page)).toEqual([]);
  }, 300_000);

  test('a job is parked with what has to be seen to before, found in the list, and gone on with', async () => {
    const one = await underWay(byTouch, 'reading');
    const { page: on } = one;
    const form = await openMore(on, 'Park the job');
    await form.getByText('Put the nozzles under the lid.').waitFor();
    await byTouch.type(
      on,
      'Why, and what somebody who comes upon the engine has to know',
      'The tide is out.',
    );
    await byTouch.press(on, 'Park');
    await on.getByRole('heading', { name: 'The job is parked' }).waitFor();
    await on.goto(`${one.url}/#/`);
    await on.locator('.job-list a').filter({ hasText: 'parked' }).first().tap();
    await on.getByText('The tide is out.').waitFor();
    await byTouch.choose(on, 'The bench is clean.');
    await byTouch.press(on, 'Go on with the job');
    await on.getByRole('heading', { name: 'Pump nozzle 2 until it opens.' }).waitFor();
    expect(one.faults).toEqual([]);
  }, 300_000);

  test('what is measured bore by bore stands side by side, as received and as left, with its limits, in words too', async () => {
    const one = await underWay(byTouch, 'judged', 6);
    const { page: on } = one;
    await on.locator('.across-all summary').tap();
    const opening = on.locator('.across').filter({ hasText: 'Pressure at which nozzle opens' }).first();
    const words = await opening.locator('svg').first().getAttribute('aria-label');
    expect(words).toBe(
      'Pressure at which nozzle opens. bore 1: as received 205 bar; as left 214 bar, conforming (limits 210 bar to 218 bar). bore 2: as received 205 bar; as left 214 bar, conforming (limits 210 bar to 218 bar).',
    );
    expect(await opening.locator('tbody tr').allTextContents()).toEqual([
      '1205 bar214 bar',
      '2205 bar214 bar',
    ]);
    const rise = on.locator('.across').filter({ hasText: 'Rise of the opening pressure' });
    expect(await rise.locator('tbody tr').allTextContents()).toEqual(['19 bar', '29 bar']);
    expect(await faultsOfAxe(on)).toEqual([]);
  }, 300_000);

  test('a value is taken over from a finished job on the same engine, with its age, and from no other engine', async () => {
    const [first, second] = await Promise.all([
      workOf('compression-demo/1.0.0', 'cranking-compression', 'marram-two', 'strong', shelf),
      workOf('balance-demo/1.0.0', 'cylinder-balance', 'marram-two', 'carried', shelf),
    ]);
    const one = await begun(browser, first, byTouch, {}, [shelf]);
    on = one;
    await one.worker.goOn(one.page, one.job);
    const own = await device(browser);
    const other = await own.newPage();
    const worker = new Worker(one.rig, second, byTouch);
    const job = await beginOn(other, one.url, second, worker);
    await worker.goOn(other, job, ({ facts }) => facts.some(({ fact }) => fact.kind === 'filled'));
    const offered = other.getByRole('button', { name: /^Take over 24\.69 bar, .* old$/ });
    await offered.waitFor();
    expect(await other.locator('.carrying').textContent()).toContain(`from the job ${one.job}`);
    expect(await faultsOfAxe(other)).toEqual([]);
    await offered.tap();
    await other.getByRole('button', { name: /^Take over 25\.51 bar, .* old$/ }).tap();
    const carried = () =>
      jobOf(second, one.rig.store, job).facts.filter(({ fact }) => fact.kind === 'carried');
    await expect.poll(() => carried().length, { timeout: 60_000 }).toBe(2);
    expect(carried()[0]?.fact).toMatchObject({
      entry: 'compression@1',
      digits: '24.69',
      from: { job: one.job },
    });

    // Another engine: its number is asked for first, and nothing is offered for it.
    const strange = new Worker(one.rig, second, byTouch);
    const otherJob = await beginOn(other, one.url, second, strange);
    await strange.goOn(other, otherJob, ({ facts }) => facts.some(({ fact }) => fact.kind === 'done'));
    await byTouch.type(other, '#entry', 'ME-999999');
    await byTouch.press(other, 'Enter');
    await other.getByText('on this engine is in the store. Measure it.').waitFor();
    expect(otherJob).not.toBe(job);
    await own.close();
  }, 300_000);
});
