import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { makeDemonstrationJobs } from '../../packages/cli/src/demonstration/demonstration-jobs.ts';
import { byTouch } from './hands.ts';
import { canBrowse, device, launch, PageRig, root } from './page-rig.ts';

/** The time in every picture, so that two runs make the same. */
const NOW = new Date('2026-01-05T09:30:00Z');

const same = { timezoneId: 'UTC', colorScheme: 'light', locale: 'en-GB', reducedMotion: 'reduce' } as const;

/** The numbers by which the guide speaks of what is on a screen: where each is put, as a selector. */
type Numbered = readonly string[];

/** A picture of a screen, or of it from the top of one place down to the end of another. */
async function picture(
  page: Page,
  name: string,
  numbered: Numbered = [],
  [from, to]: readonly [from: string | undefined, to: string | undefined] = [undefined, undefined],
): Promise<void> {
  // What has the focus, and what was just pressed, looks otherwise for a moment.
  await page.evaluate('document.activeElement?.blur(); scrollTo(0, 0)');
  await page.waitForTimeout(500);
  await page.evaluate(`(${String(putNumbers)})(${JSON.stringify(numbered)})`);
  const { width = 0 } = page.viewportSize() ?? {};
  const top = from === undefined ? 0 : ((await page.locator(from).first().boundingBox())?.y ?? 0) - 10;
  const last = to === undefined ? undefined : await page.locator(to).first().boundingBox();
  const clip =
    last === undefined || last === null
      ? {}
      : { fullPage: true, clip: { x: 0, y: top, width, height: last.y + last.height + 10 - top } };
  const path = join(root, 'docs/pictures', `${name}.png`);
  await page.screenshot({ path, animations: 'disabled', ...clip });
  await page.evaluate("document.querySelectorAll('[data-number]').forEach((one) => one.remove())");
}

/** Runs in the page. */
function putNumbers(selectors: readonly string[]): void {
  const { document } = globalThis as unknown as {
    readonly document: {
      readonly body: { append(one: unknown): void };
      querySelector(
        selector: string,
      ): { getBoundingClientRect(): { readonly right: number; readonly top: number } } | null;
      createElement(name: string): {
        textContent: string;
        readonly dataset: Record<string, string>;
        readonly style: { cssText: string };
      };
    };
  };
  selectors.forEach((selector, index) => {
    const place = document.querySelector(selector);
    if (place === null) throw new Error(`nothing on the screen is ${selector}`);
    const { right, top } = place.getBoundingClientRect();
    const mark = document.createElement('div');
    mark.textContent = String(index + 1);
    mark.dataset['number'] = mark.textContent;
    mark.style.cssText = `position:absolute;left:${right - 26}px;top:${top + 2}px;width:24px;height:24px;border-radius:50%;background:#b0480a;color:#fff;font:700 15px/24px sans-serif;text-align:center;z-index:9`;
    document.body.append(mark);
  });
}

async function onThePhone(browser: Browser, rig: PageRig, url: string): Promise<void> {
  const context = await device(browser, { ...same });
  const page = await context.newPage();
  await page.clock.setFixedTime(NOW);
  await page.goto(`${url}/`);
  const job = page.locator('.job-list a').filter({ hasText: 'Check and set the valve clearances' });
  await job.waitFor();
  await picture(page, 'page-jobs', [], [undefined, '.deferring']);
  await job.tap();
  await byTouch.press(page, 'Done');
  await page.locator('#step-title').filter({ hasText: 'inlet valve 2' }).waitFor();
  await byTouch.press(page, 'Done');
  await page.locator('#entry').waitFor();
  await picture(
    page,
    'page-reading',
    ['.engine', '.way', '#step-title', '.entry-limits', '#entry', '.step .main', '.beside-step .second'],
    [undefined, '.beside-step'],
  );
  await page.locator('#entry').fill('0.20');
  await byTouch.press(page, 'Enter');
  await page.locator('.just-now').filter({ hasText: 'nonconforming' }).waitFor();
  await picture(
    page,
    'page-verdict',
    ['.just-now', '.just-now summary', '#step-title'],
    ['.just-now', '.step'],
  );
  await page.locator('.link').filter({ hasText: 'all stored' }).waitFor({ state: 'attached' });
  await rig.stop();
  await byTouch.press(page, 'Done');
  await page.locator('.link').filter({ hasText: 'not stored, kept here' }).waitFor();
  await picture(page, 'page-away', ['.link'], [undefined, '.engine']);
  await context.close();
}

async function onTheBench(browser: Browser, url: string): Promise<void> {
  const context = await device(browser, { ...same, viewport: { width: 1280, height: 860 }, isMobile: false });
  const page = await context.newPage();
  await page.clock.setFixedTime(NOW);
  await page.goto(`${url}/`);
  await page.locator('.job-list a').filter({ hasText: 'Install and synchronise' }).first().tap();
  await page.locator('.step').waitFor();
  await page.locator('.link').filter({ hasText: 'all stored' }).waitFor();
  await picture(page, 'page-pumps');
  await context.close();
}

if (!canBrowse) throw new Error('The browser that makes the pictures runs on Linux with x64 alone.');
const rig = new PageRig();
rig.clock = () => NOW.getTime();
const browser = await launch();
try {
  const faulty = await makeDemonstrationJobs(root, rig.folder, NOW);
  if (faulty !== undefined) throw new Error('the jobs of the demonstration could not be made');
  const url = await rig.listen();
  await onTheBench(browser, url);
  await onThePhone(browser, rig, url);
} finally {
  await browser.close();
  await rig.end();
}
