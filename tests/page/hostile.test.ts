import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { type Begun, begun, watched } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { note } from './open-more.ts';
import { canBrowse, device, launch, onceMore, pageKept } from './page-rig.ts';
import { jobOf, type Work, workOf } from './worker.ts';

const shelf = fileURLToPath(new URL('packs', import.meta.url));

/** What stands between page and server, or a server gone wrong, may answer. */
const strange = {
  'nothing that is known': { status: 200, contentType: 'application/json', body: '{}' },
  null: { status: 200, contentType: 'application/json', body: 'null' },
  'a list': { status: 200, contentType: 'application/json', body: '[]' },
  'a page of somebody else': { status: 200, contentType: 'text/html', body: '<h1>Welcome</h1>' },
  'half a document': { status: 200, contentType: 'application/json', body: '{"format":"ferrule-ht' },
  'a fault of a proxy': { status: 502, contentType: 'application/json', body: '{"message":"bad gateway"}' },
  'a problem of another form': {
    status: 400,
    contentType: 'application/json',
    body: '{"code":3,"detail":{}}',
  },
} as const;

/** A browser that keeps nothing, in the ways in which browsers do. */
const refusing = {
  'no storage of texts': `for (const one of ['localStorage', 'sessionStorage'])
    Object.defineProperty(window, one, { get() { throw new DOMException('denied', 'SecurityError'); } });`,
  'a full storage of texts': `Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };`,
  'a database that may not be opened': `IDBFactory.prototype.open = () => { throw new DOMException('denied', 'SecurityError'); };`,
  'no database': `Object.defineProperty(window, 'indexedDB', { value: undefined });`,
  'a database that does not answer': 'IDBFactory.prototype.open = () => ({});',
  'a full database': `IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); };`,
} as const;

describe.runIf(canBrowse)('the page with bad luck and bad input, in Chromium', onceMore, () => {
  let browser: Browser;
  let valves: Work;
  let nozzles: Work;
  let on: Begun;
  beforeAll(async () => {
    [browser, valves, nozzles] = await Promise.all([
      launch(),
      workOf('valve-clearance/1.0.0', 'set-clearances', 'marram-four', 'all-inside'),
      workOf('nozzles-demo/1.0.0', 'set-nozzles', 'marram-two', 'set', shelf),
    ]);
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await on?.context.close();
    await on?.rig.end();
  });

  /** A job whose hazards are read, and in which work is to be confirmed next. */
  async function atWork(): Promise<void> {
    on = await begun(browser, valves, byTouch);
    await on.worker.goOn(on.page, on.job, ({ facts }) =>
      facts.some(({ fact }) => fact.kind === 'acknowledged'),
    );
  }

  /** A job in which a time counts from the step that is to be done next, or is judged by it. */
  async function atTime(step: string): Promise<void> {
    on = await begun(browser, nozzles, byTouch, {}, [shelf]);
    await on.worker.goOn(on.page, on.job, (job) => nozzles.plan.nodes[job.control.at]?.path === step);
    await on.page.getByRole('button', { name: 'Done', exact: true }).waitFor();
  }

  const factsOf = ({ rig, job }: Begun, work = valves) => jobOf(work, rig.store, job).facts;
  const noted = (): readonly string[] =>
    factsOf(on).flatMap(({ fact }) => (fact.kind === 'noted' ? [fact.text] : []));
  const link = (says: string, page = on.page) => page.locator('.link').filter({ hasText: says }).waitFor();

  /** The job on a device of its own, which is made ready before it is opened. */
  async function openedOn(
    ready: (page: Page) => Promise<unknown>,
    to = `#/job/${on.job}`,
  ): Promise<{ readonly page: Page; readonly faults: readonly string[] }> {
    const opened = await watched(await device(browser));
    await ready(opened.page);
    await opened.page.goto(`${on.url}/${to}`);
    return opened;
  }

  test('the second of two quick taps confirms nothing of the next step', async () => {
    await atWork();
    const before = factsOf(on).length;
    const box = await on.page.getByRole('button', { name: 'Done', exact: true }).boundingBox();
    if (box === null) throw new Error('the button is not there');
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await byTouch.press(on.page, 'Done');
    await expect.poll(() => factsOf(on).length).toBe(before + 1);
    await on.page.touchscreen.tap(x, y);
    await link('all stored');
    expect(factsOf(on).length).toBe(before + 1);
    await byTouch.press(on.page, 'Done');
    await expect.poll(() => factsOf(on).length).toBe(before + 2);
  });

  test.each(Object.entries(refusing))(
    'a job is opened and gone on with on a device with %s',
    async (name, script) => {
      await atWork();
      const before = factsOf(on).length;
      const { page, faults } = await openedOn((one) => one.addInitScript(script));
      await byTouch.press(page, 'Done');
      await expect.poll(() => factsOf(on).length, { timeout: 20_000 }).toBe(before + 1);
      await page.context().setOffline(true);
      await note(page, 'away');
      await link(name.includes('database') ? 'NOT KEPT: leave this page open' : 'kept here', page);
      await page.context().setOffline(false);
      await link('all stored', page);
      expect(noted()).toEqual(['away']);
      expect(faults.filter((one) => !one.startsWith('Failed to load'))).toEqual([]);
      await page.context().close();
    },
  );

  test('what two tabs of a device wait with outlives both, and neither is lost for the other', async () => {
    await atWork();
    const two = await on.context.newPage();
    await two.goto(`${on.url}/#/job/${on.job}`);
    await two.locator('.step').waitFor();
    await on.rig.stop();
    await note(on.page, 'from the first tab');
    await link('1 not stored, kept here');
    await note(two, 'from the second tab');
    await link('1 not stored, kept here', two);
    await on.page.close();
    await two.close();
    await on.rig.restart();
    const later = await on.context.newPage();
    await later.goto(`${on.url}/#/job/${on.job}`);
    await later.locator('.conflict').filter({ hasText: 'Note: from the second tab' }).waitFor();
    await byTouch.press(later, 'It still holds: give it again');
    await link('all stored', later);
    expect(noted()).toEqual(['from the first tab', 'from the second tab']);
  });

  test('whoever left a job in which something waits is told so in the list, after the page was closed too', async () => {
    await atWork();
    await pageKept(on.page);
    await on.rig.stop();
    await note(on.page, 'left behind');
    await link('1 not stored, kept here');
    await on.page.close();
    await on.rig.restart();
    const later = await on.context.newPage();
    await later.goto(`${on.url}/#/`);
    const waiting = later.locator('.to-store');
    await waiting.getByText('1 not stored, kept here').waitFor();
    expect(noted()).toEqual([]);
    await waiting.getByRole('link').tap();
    await link('all stored', later);
    expect(noted()).toEqual(['left behind']);
    await later.goto(`${on.url}/#/`);
    await later.getByRole('heading', { name: 'Under way' }).waitFor();
    expect(await waiting.count()).toBe(0);
  });

  test('what the server never takes can be left out, and holds up nothing', async () => {
    await atWork();
    await on.page.route('**/commands', (route) =>
      route.fulfill({
        status: 400,
        json: {
          ...{
            code: 'invalid-request',
            status: 400,
            title: 'The request does not have the form that is asked for',
          },
          ...{ detail: '/command/text is too odd.', remedy: 'pointer says where.' },
        },
      }),
    );
    await note(on.page, 'odd');
    const conflict = on.page.locator('.conflict');
    await conflict.filter({ hasText: '/command/text is too odd.' }).waitFor();
    expect(await conflict.getByRole('heading').textContent()).toBe('This was not stored');
    await on.page.unroute('**/commands');
    await byTouch.press(on.page, 'Leave it out');
    await note(on.page, 'plain');
    await expect.poll(noted).toEqual(['plain']);
    await link('all stored');
  });

  test.each(Object.entries(strange))(
    'an answer that is %s loses nothing and leaves nobody without a word',
    async (_, answer) => {
      await atWork();
      for (const [what, to] of [
        [/\/jobs\/[^/]+$/, `#/job/${on.job}`],
        [/\/(?:facts\?.*|bundles\/.*)$/, `#/job/${on.job}`],
        [/\/(?:jobs|packs)$/, '#/'],
      ] as const) {
        const { page, faults } = await openedOn(
          (one) => one.route(what, (route) => route.fulfill(answer)),
          to,
        );
        const problem = page.locator('.problem').filter({ hasText: 'Try again' });
        await problem.getByText(/not one of Ferrule|The server is not reached/).waitFor();
        expect(faults.filter((one) => !one.startsWith('Failed to load'))).toEqual([]);
        await page.context().close();
      }
      await on.page.route('**/commands', (route) => route.fulfill(answer));
      await note(on.page, 'through all of it');
      await link('1 not stored, kept here');
      await on.page.unroute('**/commands');
      await link('all stored');
      expect(noted()).toEqual(['through all of it']);
      expect(on.faults.filter((one) => !one.startsWith('Failed to load'))).toEqual([]);
    },
  );

  test('a server of another version is told, and what waits is kept until it is understood', async () => {
    await atWork();
    await on.page.route('**/commands', async (route) => {
      const answer = await route.fetch();
      await route.fulfill({ response: answer, json: { ...(await answer.json()), format: 'ferrule-http-2' } });
    });
    await note(on.page, 'to a newer server');
    await on.page.getByRole('heading', { name: 'The server is of another version than this page' }).waitFor();
    await link('1 not stored, kept here');
    await on.page.unroute('**/commands');
    await byTouch.press(on.page, 'Try again');
    await link('all stored');
    expect(noted()).toEqual(['to a newer server']);
  });

  test.each(['..%2F..%2Fpacks', '%2e%2e', '%ff', '', '%3Cimg%20src=x%20onerror=alert(1)%3E', 'x'.repeat(80)])(
    'no job is called %s',
    async (name) => {
      await atWork();
      const { page, faults } = await openedOn(async () => undefined, `#/job/${name}`);
      await page.locator('.problem').getByText('There is no such job in the store').waitFor();
      expect(await page.locator('img').count()).toBe(0);
      expect(faults.filter((one) => !one.startsWith('Failed to load'))).toEqual([]);
      await page.context().close();
    },
  );

  test('another token is asked for as soon as the server wants one, without anything being pressed', async () => {
    await atWork();
    on.rig.token = 'x'.repeat(43);
    await on.rig.stop();
    await on.rig.restart();
    await on.page.getByRole('heading', { name: 'This server asks for its token' }).waitFor();
    await on.page.getByLabel('Token').fill(on.rig.token);
    await byTouch.press(on.page, 'Go on');
    await link('all stored');
    await note(on.page, 'with the token');
    await expect.poll(noted).toEqual(['with the token']);
    expect(await on.page.locator('.problem').count()).toBe(0);
  });

  test('a time is told by the clock of the server, however wrong that of the device is', async () => {
    await atTime('lay-out');
    await byTouch.press(on.page, 'Done');
    await on.page.locator('.times').waitFor();
    const days = 3 * 24 * 3600 * 1000;
    for (const off of [days, -days]) {
      const { page } = await openedOn((one) => one.clock.install({ time: Date.now() + off }));
      expect(await page.locator('.times strong').textContent()).toMatch(/^[0-3]:\d\d$/);
      await page.context().close();
    }
  });

  test('what a time counts from is stored at once, or not taken', async () => {
    await atTime('lay-out');
    await on.rig.stop();
    await link('server not reached');
    await byTouch.press(on.page, 'Done');
    await on.page.getByRole('alert').filter({ hasText: 'A time counts here.' }).waitFor();
    await link('server not reached');
    await on.rig.restart();
    await link('all stored');
    await byTouch.press(on.page, 'Done');
    await on.page.locator('.times').waitFor();
    await link('all stored');
    expect(
      factsOf(on, nozzles).filter(({ fact }) => fact.kind === 'done' && fact.step === 'lay-out'),
    ).toHaveLength(1);
  });

  test('a time that passed while the answer did not come is judged only after somebody has said that it holds', async () => {
    await atTime('cover');
    await on.page.route('**/commands', (route) => route.abort());
    await byTouch.press(on.page, 'Done');
    await on.page.locator('.provisional').first().waitFor();
    on.rig.ahead += 9 * 3600 * 1000;
    await on.page.clock.fastForward(9 * 3600 * 1000);
    await on.page.unroute('**/commands');
    const conflict = on.page.locator('.conflict').filter({ hasText: 'A time counts here' });
    await conflict.waitFor();
    const judged = () =>
      factsOf(on, nozzles).filter(({ fact }) => fact.kind === 'judged' && fact.of === 'out-limits');
    expect(judged()).toEqual([]);
    await byTouch.press(on.page, 'It still holds: give it again');
    await expect
      .poll(() => judged().map(({ fact }) => fact))
      .toMatchObject([{ verdict: { verdict: 'nonconforming' } }]);
  });

  test('what was stored before its answer was lost is given once, also where a time counts', async () => {
    await atTime('cover');
    await on.page.route('**/commands', async (route) => {
      await route.fetch();
      await route.abort();
    });
    await on.page.route('**/stream*', (route) => route.abort());
    await byTouch.press(on.page, 'Done');
    await link('1 not stored, kept here');
    const seq = factsOf(on, nozzles).length;
    await on.page.clock.fastForward(60_000);
    await on.page.unroute('**/commands');
    await link('all stored');
    expect(factsOf(on, nozzles)).toHaveLength(seq);
    expect(await on.page.locator('.conflict').count()).toBe(0);
  });

  test('a screen whose code comes between its drawing and what follows it is shown', async () => {
    on = await begun(browser, valves, byTouch);
    const context = await device(browser, { serviceWorkers: 'block' });
    try {
      const page = await context.newPage();
      // What follows a drawing comes half a second later here, as on a page that is not looked at.
      await page.addInitScript(`
        const soon = window.setTimeout;
        window.setTimeout = (then, after, ...more) => soon(then, after === 35 ? 500 : after, ...more);
        window.requestAnimationFrame = () => 0;`);
      let send = (): void => undefined;
      const asked = new Promise<void>((resolve) => {
        send = resolve;
      });
      await page.route('**/begin-screen-*.js', async (route) => {
        await asked;
        await route.continue();
      });
      await page.goto(`${on.url}/`);
      await page.getByRole('link', { name: 'Begin a job' }).waitFor();
      await page.waitForTimeout(1000);
      await page.evaluate("location.hash = '#/begin'");
      send();
      await page.getByRole('heading', { name: 'What is to be done?' }).waitFor({ timeout: 20_000 });
    } finally {
      await context.close();
    }
  }, 120_000);
});
