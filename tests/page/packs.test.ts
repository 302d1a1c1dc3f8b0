import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, BrowserContextOptions, Locator, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { hostile } from '../browser/hostile-pack.ts';
import { copyPack } from '../packs/copy-pack.ts';
import { edited, readDefects } from '../packs/defects/defect.ts';
import { faultsOfAxe } from './axe-on.ts';
import { overEdge } from './over-edge.ts';
import { canBrowse, device, launch, onceMore, PageRig } from './page-rig.ts';

const pack = 'valve-clearance/1.0.0';

const textOf = async (one: Locator): Promise<string> => (await one.textContent()) ?? '';

/** Runs in the page: whether the step at which something can go wrong is seen without scrolling. */
const isInSight = `(() => {
  const { top, bottom } = document.querySelector('.stop-faulty .station').getBoundingClientRect();
  return top >= 0 && bottom <= innerHeight;
})()`;

/** A shelf with a copy of the pack, after every edit that is asked for. */
function shelfWith(edit: (texts: ReadonlyMap<string, string>) => ReadonlyMap<string, string>): string {
  const shelf = mkdtempSync(join(tmpdir(), 'ferrule-shelf-'));
  const copied = copyPack(pack, mkdtempSync(join(shelf, '.copy-')));
  const texts = new Map(
    readdirSync(copied, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.yaml'))
      .map((name) => [name.replaceAll('\\', '/'), readFileSync(join(copied, name), 'utf8')]),
  );
  for (const [name, text] of edit(texts)) {
    const file = join(shelf, pack, name);
    mkdirSync(join(file, '..'), { recursive: true });
    writeFileSync(file, text);
  }
  return shelf;
}

/** The pack with a mistake of an author in it, by its name in the corpus. */
function shelfWithDefect(name: string): string {
  const defect = readDefects().find((one) => one.defect === name);
  if (defect?.pack !== pack) throw new Error(`no defect ${name} of ${pack}`);
  return shelfWith((texts) => defect.patch.reduce((all, edit) => edited(all, edit), texts));
}

describe.runIf(canBrowse)('the screens of who writes packs, in Chromium', onceMore, () => {
  let browser: Browser;
  const ends: (() => unknown)[] = [];
  beforeAll(async () => {
    browser = await launch();
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    for (const end of ends.splice(0).reverse()) await end();
  });

  async function shown(shelf: string, part: string, options: BrowserContextOptions = {}): Promise<Page> {
    const rig = new PageRig([shelf]);
    ends.push(
      () => rmSync(shelf, { recursive: true, force: true }),
      () => rig.end(),
    );
    const url = await rig.listen();
    const context = await device(browser, options);
    ends.push(() => context.close());
    const page = await context.newPage();
    page.on('pageerror', (error) => {
      throw error;
    });
    await page.goto(`${url}/#/pack/${pack}${part}`);
    await page.locator('.sum, .what-fails').waitFor();
    return page;
  }

  test('from a finding the way to it is gone forth and back on the picture of the engine', async () => {
    const page = await shown(shelfWithDefect('change-forgotten'), '');
    const finding = page.locator('.finding').filter({ hasText: 'law-broken' });
    expect(await textOf(finding.locator('.finding-head'))).toMatch(
      /^error.*law-broken.*procedures\/set-clearances\.yaml:\d+:\d+/,
    );
    expect(await textOf(finding.locator('mark').first())).toBe('step: cover-on');
    await finding.getByRole('link', { name: 'Go the way there, step by step' }).tap();
    const says = page.locator('.walk-says');
    const watched = page.locator('.watched dd').filter({ hasText: /^(?:out|in|out → in)$/ });
    await says.getByText('Nothing is done yet.').waitFor();
    expect(await textOf(watched)).toBe('out');
    const count = await page.locator('.visit').count();
    const on = page.getByRole('button', { name: 'On', exact: true });
    const seen: string[] = [];
    for (let step = 1; step <= count; step++) {
      await on.tap();
      await says.getByText(`After step ${step} of ${count}`).waitFor();
      seen.push(await textOf(watched));
    }
    // The cloths go in on one step and are never seen to come out.
    expect(seen.filter((one) => one === 'out → in')).toHaveLength(1);
    expect(seen.at(-1)).toBe('in');
    expect(await on.isDisabled()).toBe(true);
    const wrong = await textOf(page.locator('.fault-reached'));
    expect(wrong).toContain('Cloths in the drain holes is "in"');
    expect(wrong).toContain('it really comes to this');
    expect(wrong).toContain('To mend it');
    // What it comes to stands below the steps, and leads to it.
    const next = page.getByRole('button', { name: 'Next comes' });
    expect(wrong).toContain(await textOf(next));
    await page.getByRole('button', { name: 'Back', exact: true }).tap();
    await says.getByText(`After step ${count - 1} of ${count}`).waitFor();
    await next.tap();
    await says.getByText(`After step ${count} of ${count}`).waitFor();
    await page.getByRole('button', { name: 'Back', exact: true }).tap();
    expect(await page.locator('.fault-reached').count()).toBe(0);
    // The crank of the picture stands where the way has turned it.
    const turned = page.locator('.visit').filter({ hasText: 'Crankshaft: position not known →' });
    const to = (await textOf(turned.locator('.visit-changes'))).split(' → ')[1] ?? '?';
    await turned.tap();
    await page.locator('.dial figcaption').getByText(to).waitFor();
  }, 180_000);

  test('the way is gone by the keys of the arrows', async () => {
    const page = await shown(shelfWithDefect('cover-before-the-cloths'), '/way/1', { hasTouch: false });
    await page.getByLabel('How far on the way').focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.getByText(/^After step 2 of /).waitFor();
    await page.keyboard.press('ArrowLeft');
    await page.getByText(/^After step 1 of /).waitFor();
    await page.keyboard.press('End');
    await page.locator('.fault-reached').waitFor();
  }, 120_000);

  test('what does not hold is told apart from what was not seen, and stands on the line of the procedure', async () => {
    const page = await shown(shelfWithDefect('change-forgotten'), '/proof');
    const broken = page.locator('.guarantee-refuted');
    expect(await textOf(broken.first())).toContain('does not hold');
    expect(await page.locator('.guarantee-as-far-as-seen').count()).toBeGreaterThan(2);
    await page.locator('.stroke').first().waitFor({ state: 'attached' });
    const faulty = page.locator('.stop-faulty');
    expect(await textOf(faulty)).toContain('Here it can go wrong.');
    // From the line to the way, and from its end back to the line, at the very step.
    await faulty.getByRole('link', { name: 'Go the way there, step by step' }).tap();
    await page.getByRole('button', { name: 'Next comes' }).tap();
    await page.getByRole('link', { name: 'Where it is on the line' }).tap();
    await faulty.waitFor();
    await expect.poll(() => page.evaluate(isInSight)).toBe(true);
    await page.locator('.stroke').first().waitFor({ state: 'attached' });
    expect(await textOf(page.locator('.stop-rework').first())).toMatch(
      /rework, 4 results at most, then back to \d+/,
    );
    // A stroke leads to every stop but the first.
    const loose = await page.evaluate(`(() => {
      const frame = document.querySelector('.line-frame').getBoundingClientRect();
      const ends = [...document.querySelectorAll('.stroke:not(.stroke-back)')].map((one) => {
        const { x, y } = one.getPointAtLength(one.getTotalLength());
        return [x, y];
      });
      return [...document.querySelectorAll('.station')].slice(1).filter((one) => {
        const box = one.getBoundingClientRect();
        const x = box.left - frame.left + box.width / 2;
        const y = box.top - frame.top + box.height / 2;
        return !ends.some(([atX, atY]) => Math.abs(atX - x) < 1 && Math.abs(atY - y) < 1);
      }).map((one) => one.parentElement.innerText);
    })()`);
    expect(loose).toEqual([]);
    // What is in a part that is closed leaves no stroke behind.
    const strokes = await page.locator('.stroke').count();
    await page.locator('.stop-part > details > summary').first().tap();
    await expect.poll(() => page.locator('.stroke').count()).toBe(strokes - 7);
  }, 120_000);

  test('a pack without a fault: that nothing was found, and what was looked at', async () => {
    const shelf = shelfWith((texts) => texts);
    const page = await shown(shelf, '');
    expect(await textOf(page.locator('.sum'))).toBe('Nothing was found wrong.');
    await page.getByText('5 files').tap();
    expect(await textOf(page.locator('.place-list'))).toContain('procedures/adjust-inlet.yaml');
    // Somebody changes a file and comes back to the page.
    const file = join(shelf, pack, 'procedures/set-clearances.yaml');
    const text = readFileSync(file, 'utf8');
    writeFileSync(file, text.replace('judge: exhaust-limits', 'judge: exhaust-limit'));
    await page.evaluate(`dispatchEvent(new Event('focus'))`);
    await page.locator('.finding').filter({ hasText: 'unknown-name' }).waitFor();
    writeFileSync(file, text);
    await page.evaluate(`dispatchEvent(new Event('focus'))`);
    await page.getByText('Nothing was found wrong.').waitFor();
    await page.getByRole('link', { name: 'What is proved' }).tap();
    await page.getByText('Nothing was refuted.').waitFor();
    expect(await page.locator('.guarantee-holds').count()).toBe(8);
    expect(await textOf(page.locator('.effort td').nth(1))).toMatch(/^\d+$/);
    // Every step of a procedure without a fault was come to, and says in how many states.
    await page.locator('.stop').first().waitFor();
    expect(await page.getByText('No way comes here').count()).toBe(0);
    expect(await textOf(page.locator('.stop-step').last())).toMatch(/\d states?/);
    await page.getByRole('link', { name: 'Judge jobs by 1.0.0' }).tap();
    await page.getByRole('combobox', { name: 'Pack' }).waitFor();
    expect(await page.getByRole('combobox', { name: 'Pack' }).inputValue()).toBe('valve-clearance');
  }, 120_000);

  test('a pack that has an older revision leads to the comparison with it, and one with a fault to nothing but the fault', async () => {
    const shelf = shelfWith((texts) => texts);
    const [older, newer] = [join(shelf, pack), join(shelf, 'valve-clearance/1.1.0')];
    cpSync(older, newer, { recursive: true });
    const manifest = readFileSync(join(newer, 'pack.yaml'), 'utf8');
    writeFileSync(join(newer, 'pack.yaml'), manifest.replace('revision: 1.0.0', 'revision: 1.1.0'));
    const page = await shown(shelf, '');
    await page.getByRole('link', { name: 'Judge jobs by 1.0.0' }).waitFor();
    expect(await page.getByRole('link', { name: 'Compare with' }).count()).toBe(0);
    await page.goto(page.url().replace('1.0.0', '1.1.0'));
    await page.getByRole('link', { name: 'Compare with 1.0.0' }).tap();
    await page.getByText('1.0.0 to 1.1.0 is a minor revision').first().waitFor();
    const faulty = await shown(shelfWithDefect('change-forgotten'), '');
    await faulty.getByText('law-broken').waitFor();
    expect(await faulty.locator('.pack-ways').count()).toBe(0);
  }, 180_000);

  test('a step behind a fault says that it was not come to', async () => {
    const page = await shown(shelfWithDefect('change-forgotten'), '/proof');
    await page.locator('.stop-faulty').waitFor();
    const last = page.locator('.stop-step').last();
    expect(await textOf(last)).toContain('No way comes here as far as was seen.');
    expect(await textOf(page.locator('.stop-step').first())).not.toContain('No way comes here');
  }, 120_000);

  test('a trial that comes out otherwise than expected, and what no trial then reaches', async () => {
    const shelf = shelfWith((texts) => {
      const file = 'trials/trials.yaml';
      const text = texts.get(file)?.replace('holds: [clearance-stays-outside]', 'holds: []') ?? '';
      return new Map([...texts, [file, text]]);
    });
    const page = await shown(shelf, '/trials');
    expect(await textOf(page.locator('.sum'))).toBe('1 of 10 trials comes out otherwise than expected.');
    expect(await textOf(page.locator('.failures'))).toBe(
      'holds: expected none, found clearance-stays-outside.',
    );
    expect(await textOf(page.locator('.unreached li').first())).toMatch(/^no trial .*\.yaml:\d+:\d+$/);
    await page.getByText('ferrule trial --write-missing').waitFor();
  }, 120_000);

  test.each(['light', 'dark'] as const)(
    'a way has no fault that axe finds and runs over no edge, %s',
    async (colorScheme) => {
      const page = await shown(shelfWithDefect('change-forgotten'), '/way/1', {
        colorScheme,
        viewport: { width: 360, height: 740 },
      });
      await page.locator('.visit').last().tap();
      expect(await faultsOfAxe(page)).toEqual([]);
      expect(await overEdge(page)).toEqual([0]);
    },
    120_000,
  );

  test('a server that was away for a while is asked again by itself', async () => {
    const shelf = shelfWithDefect('change-forgotten');
    const rig = new PageRig([shelf]);
    ends.push(
      () => rmSync(shelf, { recursive: true, force: true }),
      () => rig.end(),
    );
    const url = await rig.listen();
    const context = await device(browser);
    ends.push(() => context.close());
    const page = await context.newPage();
    await page.goto(`${url}/#/pack`);
    await page.locator('.shelf').waitFor();
    const link = page.locator('.shelf a').first();
    await link.tap();
    await page.locator('.sum').waitFor();
    await rig.stop();
    await page.getByRole('link', { name: 'Trials', exact: true }).tap();
    await page.getByText('The server is not reached').waitFor();
    await rig.restart();
    await page
      .locator('.sum')
      .filter({ hasText: /trials? come/ })
      .waitFor();
  }, 120_000);

  test('a pack is looked into with an overlay, and the way to what does not hold is that of both together', async () => {
    const shelf = shelfWithDefect('change-forgotten');
    const rig = new PageRig([shelf]);
    ends.push(
      () => rmSync(shelf, { recursive: true, force: true }),
      () => rig.end(),
    );
    const url = await rig.listen();
    const { packs } = Object(await (await fetch(`${url}/packs`)).json());
    const folder = join(shelf, 'lee-quay', '1.0.0');
    mkdirSync(folder, { recursive: true });
    writeFileSync(
      join(folder, 'overlay.yaml'),
      `format: '1'
overlay: lee-quay
revision: 1.0.0
title: What the workshop at the lee quay adds
source: Lee quay, standing orders, sheet 1 (invented)
over: { pack: valve-clearance, revision: 1.0.0, digest: '${packs[0].digest}' }
hold-points:
  - before: set-clearances/cover-on
    hold: cloths-counted
    text: The lead counts the cloths.
    witness: lead
`,
    );
    const context = await device(browser);
    ends.push(() => context.close());
    const page = await context.newPage();
    await page.goto(`${url}/#/pack`);
    await page.getByRole('link', { name: 'with lee-quay 1.0.0' }).tap();
    await page.locator('.masthead').getByText('1.0.0 with lee-quay 1.0.0').waitFor();
    const finding = page.locator('.finding').filter({ hasText: 'law-broken' });
    await finding.getByRole('link', { name: 'Go the way there, step by step' }).tap();
    await page.locator('.visit').last().tap();
    await page.locator('.watched dd').filter({ hasText: /^in$/ }).waitFor();
    // The job waits at the hold point of the overlay before it comes to the step.
    expect(await textOf(page.locator('.visits'))).toContain('cloths counted');
    await page.getByRole('link', { name: 'Trials', exact: true }).tap();
    await page.locator('.sum').filter({ hasText: 'This pack has no trials.' }).waitFor();
    await page.getByLabel('Overlay').selectOption('None, the pack alone');
    await page
      .locator('.sum')
      .filter({ hasText: /trials? come/ })
      .waitFor();
    expect(await textOf(page.locator('.masthead'))).not.toContain('lee-quay');
  }, 120_000);

  test('shows what a pack says as text, never as markup', async () => {
    const text = JSON.stringify(hostile.replace('\u202e', ''));
    const shelf = shelfWith((texts) => {
      const changed = [...texts].map(([name, content]): [string, string] => [
        name,
        content
          .replace(/^title: .*$/m, `title: ${text}`)
          .replace('do: Take the cloths out again, as many as went in.', `do: ${text}`)
          .replace('    changes: { cloths: [in, out] }\n', '')
          .replace(
            'says: There are cloths in the drain holes. Take them out before the cover goes on.',
            `says: ${text}`,
          ),
      ]);
      return new Map(changed);
    });
    const page = await shown(shelf, '');
    expect(await textOf(page.locator('.pack-title'))).toContain('<img src=x');
    for (const part of ['/proof', '/trials', '/way/1', '']) {
      await page.goto(`${page.url().split('#')[0]}#/pack/${pack}${part}`);
      await page.locator('.sum, .what-fails').waitFor();
      if (part === '/proof') await page.locator('.stroke').first().waitFor({ state: 'attached' });
      if (part === '/way/1') await page.locator('.visit').last().tap();
      expect(
        await page.evaluate(
          `document.querySelectorAll('#page img, #page script, #page a[href^=javascript]').length`,
        ),
      ).toBe(0);
      expect(await page.title()).toBe('Ferrule');
    }
  }, 120_000);
});
