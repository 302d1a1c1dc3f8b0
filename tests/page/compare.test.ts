import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { makeDemonstrationJobs } from '../../packages/cli/src/demonstration/demonstration-jobs.ts';
import { hostile } from '../browser/hostile-pack.ts';
import { canBrowse, device, launch, onceMore, PageRig, root } from './page-rig.ts';

const trimmed = (texts: readonly string[]): readonly string[] => texts.map((one) => one.trim());
const specs = join(import.meta.dirname, '../../specs');

describe.runIf(canBrowse)('revisions compared on the page, in Chromium', onceMore, () => {
  let browser: Browser;
  let rig: PageRig | undefined;
  let shelf: string | undefined;
  beforeAll(async () => {
    browser = await launch();
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await rig?.end();
    if (shelf !== undefined) rmSync(shelf, { recursive: true, force: true });
    shelf = undefined;
  });

  async function opened(address: string, packs?: readonly string[]): Promise<Page> {
    rig = new PageRig(packs);
    const url = await rig.listen();
    const page = await (await device(browser)).newPage();
    await page.goto(`${url}${address}`);
    return page;
  }

  /** A shelf with copies of a pack of the checkout, each with its revision and what is replaced in its files. */
  function shelfOf(
    pack: string,
    from: string,
    revisions: Readonly<Record<string, readonly (readonly [file: string, was: string, is: string])[]>>,
  ): string {
    shelf = mkdtempSync(join(tmpdir(), 'ferrule-shelf-'));
    for (const [revision, edits] of Object.entries(revisions)) {
      const folder = join(shelf, pack, revision);
      mkdirSync(join(shelf, pack), { recursive: true });
      cpSync(join(specs, pack, from), folder, { recursive: true });
      for (const [file, was, is] of [
        ['pack.yaml', `revision: ${from}`, `revision: ${revision}`] as const,
        ...edits,
      ]) {
        const text = readFileSync(join(folder, file), 'utf8');
        if (!text.includes(was)) throw new Error(`${file} does not say ${was}`);
        writeFileSync(join(folder, file), text.replaceAll(was, is));
      }
    }
    return shelf;
  }

  const change = (page: Page, about: string) => page.locator('.change').filter({ hasText: about }).first();

  test('from the list of jobs to what is otherwise in the newest revision, and less of it', async () => {
    const page = await opened('/');
    await page.getByRole('link', { name: 'Compare revisions' }).tap();
    const line = page.getByRole('form', { name: 'Unit injection pumps of the Marram engines' });
    expect(await line.getByRole('combobox', { name: 'Older', exact: true }).inputValue()).toBe('1.0.0');
    expect(await line.getByRole('combobox', { name: 'Newer', exact: true }).inputValue()).toBe('1.1.0');
    await line.getByRole('button', { name: 'Compare' }).tap();
    await page.getByText('No change is known to protect less.').waitFor();
    expect(await page.locator('.weighed h2').allTextContents()).toEqual([
      ...['Touches safety', 'Touches conformity', 'Touches the work', 'Touches the wording alone'],
      ...['Trials', 'What jobs come to'],
    ]);
    // The same values as in docs/auditors-guide.md, in both systems of units.
    const drift = change(page, 'the limits drift-limits of drift');
    expect(trimmed(await drift.locator('.side-value').allTextContents())).toEqual([
      '0 mm ± 0.016 mm',
      '0 mm ± 0.012 mm',
    ]);
    expect(await drift.locator('.side-other').allTextContents()).toEqual([
      '0.0 in ± 0.00063 in',
      '0.0 in ± 0.00047 in',
    ]);
    expect(await drift.locator('.side-place').allTextContents()).toEqual([
      'marram-unit-pumps/1.0.0/procedures/install-and-synchronise.yaml:96:16',
      'marram-unit-pumps/1.1.0/procedures/install-and-synchronise.yaml:96:16',
    ]);
    await page
      .getByText('The changelog tells every change that asks for a minor or a major revision.')
      .waitFor();
    await drift
      .getByRole('img', {
        name: '1.0.0 permitted -0.016 mm to 0.016 mm; 1.1.0 permits -0.012 mm to 0.012 mm',
      })
      .waitFor();
    await page
      .getByRole('img', {
        name: 'The changes ask for a minor revision, and 1.0.0 to 1.1.0 is a minor revision',
      })
      .waitFor();
    await page.getByText('Safety', { exact: true }).tap();
    await page.getByRole('status').filter({ hasText: '1 of 22 changes' }).waitFor();
    expect(await page.locator('.change-says').allTextContents()).toEqual([
      expect.stringContaining('these hazards are shown now: bent-valves'),
    ]);
    await page.getByText('Everything', { exact: true }).tap();
    await page.getByLabel('Words in the change').fill('pressure KPA');
    expect(await page.locator('.change:not(.change-trial) .change-says').allTextContents()).toEqual([
      expect.stringContaining('is now at least 130 kPa'),
    ]);
    await page.getByLabel('Words in the change').fill('neither of the two');
    await page.getByText('No change has these words.').waitFor();
    const [printed] = await Promise.all([
      page.context().waitForEvent('page'),
      page.getByRole('link', { name: 'As a page to print' }).tap(),
    ]);
    await printed.getByRole('heading', { name: 'Touches conformity' }).waitFor();
  });

  test('from a comparison to the jobs that it touches, and from a limit to how readings lie', async () => {
    const page = await opened('/');
    expect(await makeDemonstrationJobs(root, rig?.folder ?? '', new Date())).toBeUndefined();
    // Who has named no pack begins with one that has jobs, and a newer revision.
    await page.getByRole('link', { name: 'Judge jobs again' }).tap();
    const pack = page.getByRole('combobox', { name: 'Pack' });
    await page.locator('option:checked[value="marram-unit-pumps"]').waitFor({ state: 'attached' });
    expect(await page.getByRole('combobox', { name: 'Revision' }).inputValue()).toBe('1.1.0');
    // Of a pack that nobody has worked by it is said that there is nothing to judge.
    await pack.selectOption('marram-governor');
    await page.getByRole('button', { name: 'Judge the jobs' }).tap();
    await page.getByText('Choose the pack, and the procedure, that the jobs were done by.').waitFor();
    await page.goto(page.url().replace(/#.*/, '#/compare/marram-unit-pumps/1.0.0/1.1.0'));
    await page.getByRole('link', { name: 'Judge jobs by 1.1.0' }).tap();
    await page.getByRole('button', { name: 'Judge the jobs' }).tap();
    await page.getByText('2 verdicts of 3 jobs come out otherwise under 1.1.0.').waitFor();
    await page.getByRole('link', { name: 'By bore and instrument' }).tap();
    await page.getByText('10 values of 3 jobs: 10 conforming').waitFor();
    await page.goBack();
    await page.getByRole('link', { name: 'tightened' }).tap();
    await page.getByRole('link', { name: 'How readings lie against these limits' }).tap();
    await page.getByText('10 values of 3 jobs: 10 conforming').waitFor();
    await page.getByText('the highest column is 6 values').waitFor();
    // Who knows no name is shown them all, each with its words; also those of a procedure that is performed within another.
    await page.goto(page.url().replace(/#.*/, '#/readings'));
    await page.getByRole('listitem').filter({ hasText: 'Oil pressure at idle' }).waitFor();
    expect(await pack.inputValue()).toBe('marram-unit-pumps');
    await page.getByRole('link', { name: 'oil-pressure-limit' }).tap();
    await page.getByText('2 values of 2 jobs: 2 conforming').waitFor();
  });

  test('an overlay of a comparison is laid where jobs are judged', async () => {
    const page = await opened(
      '/#/compare/marram-unit-pumps/1.0.0/1.0.0?overlay=east-station&overlayRevision=1.0.0',
    );
    await page.getByRole('link', { name: 'Judge jobs by 1.0.0' }).tap();
    const laid = page.getByLabel('Overlay, for jobs that were begun with it');
    await laid.waitFor();
    expect(await laid.inputValue()).toBe('east-station 1.0.0');
    expect(await page.getByRole('combobox', { name: 'Revision' }).inputValue()).toBe('1.0.0');
  });

  test('what an overlay adds is compared with the pack alone', async () => {
    const page = await opened('/#/compare');
    const line = page.getByRole('form', { name: 'Unit injection pumps of the Marram engines' });
    await line.getByRole('combobox', { name: 'Newer', exact: true }).selectOption('1.0.0');
    await line.getByLabel('Overlay over the newer one').selectOption('east-station 1.0.0');
    await line.getByRole('button', { name: 'Compare' }).tap();
    await page.getByText('with east-station 1.0.0').first().waitFor();
    const warned = change(page, 'wet-slip (warning: “The slip is wet and green.');
    expect(await warned.locator('.change-marks').textContent()).toContain('protects more');
    // No number says anything of two overlays over one revision.
    expect(await page.locator('.stairs').count()).toBe(0);
    await page.reload();
    await warned.waitFor();
  });

  test('of a wording the words are marked that only one of the two has', async () => {
    const page = await opened('/#/compare/marram-unit-pumps/1.0.0/1.1.0');
    const step = change(page, 'nozzles/bore/cap-ports');
    await step.waitFor();
    const [was = [], is = []] = await Promise.all(
      [0, 1].map((at) => step.locator('.side').nth(at).locator('mark').allTextContents()),
    );
    expect(was).toEqual(['the outlet of the', 'line of cylinder {bore}.']);
    expect(is).toEqual(['four open ports of cylinder {bore}:', 'outlet', 'line.']);
  });

  test('what protects less stands on top, with the part of the range that is new', async () => {
    const folder = shelfOf('marram-unit-pumps', '1.1.0', {
      '1.1.0': [],
      '1.2.0': [
        ['procedures/install-and-synchronise.yaml', 'deviation: 0.012 mm', 'deviation: 0.020 mm'],
        ['procedures/first-start.yaml', 'at-least: 130 kPa', 'at-least: 120 kPa'],
      ],
    });
    const page = await opened('/#/compare/marram-unit-pumps/1.1.0/1.2.0', [folder]);
    await page.getByRole('heading', { name: 'Protects less' }).waitFor();
    expect(await page.locator('.weighed h2').first().textContent()).toBe('Protects less');
    expect(await page.locator('.change-weaker').count()).toBe(2);
    await page.getByText('said by the number, 1.1.0 to 1.2.0: minor').waitFor();
    await page.getByText('asked for by the changes: major').waitFor();
    const unowned = page.locator('.unowned');
    expect(await unowned.textContent()).toContain('CHANGELOG.md does not name drift-limits');
    const hatched = (about: string) => change(page, about).locator('rect[fill^="url("]');
    // Of a range that has grown to both sides both ends are new; of one without an end upwards the lower end alone.
    expect(await hatched('drift-limits').count()).toBe(2);
    expect(await hatched('oil-pressure-limit').count()).toBe(1);
  });

  test('the newer revision is run when that is asked for: a way to what it permits, and the plans', async () => {
    const folder = shelfOf('valve-clearance', '1.0.0', {
      '1.0.0': [],
      '2.0.0': [
        ['pack.yaml', 'inlet-high: 0.30 mm', 'inlet-high: 0.35 mm'],
        ['pack.yaml', 'sequence: [1, 4, 2, 3]', 'sequence: [1, 4, 3, 2]'],
      ],
    });
    const page = await opened('/#/compare/valve-clearance/1.0.0/2.0.0', [folder]);
    await page.getByRole('button', { name: 'Run the newer revision' }).tap();
    const permitted = page.locator('.change').filter({ hasText: 'A shortest way there' }).first();
    await permitted.waitFor();
    await permitted.locator('summary').tap();
    // The shortest way ends with a value that was refused, and what it is now.
    expect(await permitted.locator('.way-steps li').last().textContent()).toMatch(
      /conforming \(0\.3\d* mm, limits 0\.25 mm to 0\.35 mm\)/,
    );
    const plans = page.locator('.change').filter({ has: page.locator('.hops') });
    expect(await plans.locator('.side-label').allTextContents()).toEqual(['Before, 1.0.0', 'Now, 2.0.0']);
    const bores = (await plans.locator('.turning-stops').allTextContents()).map((one) =>
      one.match(/(?<=bores? )\d/g),
    );
    expect(bores).toEqual([
      ['1', '4', '2', '3'],
      ['1', '4', '3', '2'],
    ]);
  });

  test('revisions stand in the order of Semantic Versioning 2.0.0, 11', async () => {
    // The example of the standard, and that 9 comes before 10.
    const inOrder = [
      ...['1.0.0-alpha', '1.0.0-alpha.1', '1.0.0-alpha.beta', '1.0.0-beta', '1.0.0-beta.2', '1.0.0-beta.11'],
      ...['1.0.0-rc.1', '1.0.0', '1.9.0', '1.10.0'],
    ];
    const folder = shelfOf('valve-clearance', '1.0.0', Object.fromEntries(inOrder.map((one) => [one, []])));
    const page = await opened('/#/compare', [folder]);
    await page.locator('.line').waitFor();
    expect(await page.getByLabel('Older').locator('option').allTextContents()).toEqual(inOrder);
    expect(await page.getByLabel('Older').inputValue()).toBe('1.9.0');
    expect(await page.getByLabel('Newer').inputValue()).toBe('1.10.0');
  });

  test('what packs say is shown as text, never as markup', async () => {
    // As a text of YAML, between quotation marks, where the marks of the text itself are doubled.
    const text = `'${hostile.replace('\u202e', '').replaceAll("'", "''")}'`;
    const folder = shelfOf('valve-clearance', '1.0.0', {
      '1.0.0': [],
      '1.0.1': [['pack.yaml', 'title: Valve clearance of the Marram four-cylinder', `title: ${text}`]],
    });
    const page = await opened('/#/compare', [folder]);
    await page.getByRole('button', { name: 'Compare' }).tap();
    await page.locator('.change').first().waitFor();
    expect(await page.locator('.change').first().textContent()).toContain('<img src=x onerror=');
    expect(
      await page.evaluate(
        `document.querySelectorAll('#page img, #page script, #page a[href^="java"]').length`,
      ),
    ).toBe(0);
    expect(await page.title()).toBe('Ferrule');
  });
});
