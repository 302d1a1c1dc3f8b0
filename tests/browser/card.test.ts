import { type CardDocument, cardHtml } from '@ferrule/print';
import browserHere from '@sparticuz/chromium';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { cardOf, type Played, play } from '../../packages/print/test/card-jobs.ts';
import { hostile } from './hostile-pack.ts';
import { pdfPages } from './pdf-text.ts';

const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";
const last = `sha256:${'5c'.repeat(32)}`;
const flat = (text: string): string => text.replace(/\s+/g, '');

/** Every text for people in a document, made hostile; numbers, digests, ids and fixed words stay as they are. */
function hostileCard(card: CardDocument): CardDocument {
  const texts = new Set([
    'text',
    'title',
    'says',
    'reason',
    'by',
    'step',
    'answer',
    'notice',
    'what',
    'part',
  ]);
  const change = (value: unknown, key: string): unknown => {
    if (Array.isArray(value)) return value.map((item) => change(item, key));
    if (typeof value === 'object' && value !== null)
      return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, change(item, name)]));
    return typeof value === 'string' && texts.has(key) ? `${value}${hostile}` : value;
  };
  return change(card, '') as CardDocument;
}

const canBrowse = process.platform === 'linux' && process.arch === 'x64';
describe.runIf(canBrowse)('the job card, in Chromium', () => {
  let browser: Browser;
  let page: Page;
  let played: Played;

  beforeAll(async () => {
    [played, browser] = await Promise.all([
      play('marram-unit-pumps', {
        procedure: 'install-and-synchronise',
        variant: 'marram-four',
        like: 'clean-four',
        answers: {
          readings: { 'actuator.air-gap': ['0.95 mm', '0.70 mm'], 'first-start.idle-speed': '825 r/min' },
          releases: {
            'setting-struck': { by: 'rework' },
            'ask-the-lead': { by: 'concession', reason: 'Seen; the governor is set next week.' },
          },
        },
        events: [
          { at: 'bore=3/set-point', strike: 'rack-shift@4', because: 'The digits were turned round.' },
        ],
      }),
      chromium.launch({
        executablePath: await browserHere.executablePath(),
        args: browserHere.args,
        headless: true,
      }),
    ]);
    page = await browser.newPage();
  }, 120_000);
  afterAll(() => browser?.close());

  it.each(['A4', 'Letter'] as const)('says on every page of %s what it is', async (format) => {
    const card = cardOf(played, { job: 'job-1', last });
    await page.setContent(cardHtml(card));
    const pages = pdfPages(await page.pdf({ format, preferCSSPageSize: false }));
    expect(pages.length).toBeGreaterThan(3);
    for (const [index, text] of pages.entries()) {
      expect(text).toContain(flat(deferral));
      expect(text).toContain(flat(`NOTICE: ${played.pack.notice ?? ''}`));
      expect(text).toContain(flat(`${played.pack.pack} ${played.pack.revision}`));
      expect(text).toContain(card.pack.digest);
      expect(text).toContain(last);
      expect(text).toContain(flat(card.release.says));
      expect(text).toContain('ME-400217');
      expect(text).toContain(`page${index + 1}of${pages.length}`);
      expect(text).not.toContain('UNFINISHED');
    }
  });

  it.each(['A4', 'Letter'] as const)('of an unfinished job says so on every page of %s', async (format) => {
    const part = { ...played, facts: played.facts.slice(0, Math.floor(played.facts.length / 2)) };
    await page.setContent(cardHtml(cardOf(part, { job: 'job-1', last })));
    const pages = pdfPages(await page.pdf({ format }));
    expect(pages.length).toBeGreaterThan(2);
    for (const text of pages) expect(text).toContain('UNFINISHED');
  });

  it.each(['as it is', 'with hostile texts'])(
    '%s runs over no edge, and no row may be split',
    async (how) => {
      const card = cardOf(played, { job: 'job-1', last });
      await page.setContent(cardHtml(how === 'as it is' ? card : hostileCard(card)));
      // 188 mm between the margins of A4, at 96 px to the inch.
      await page.setViewportSize({ width: 710, height: 1000 });
      await page.emulateMedia({ media: 'print' });
      const over = await page.evaluate(`[...document.querySelectorAll('main *')]
      .filter((one) => !one.closest('svg') && one.getBoundingClientRect().right > 712).map((one) => one.outerHTML.slice(0, 120))`);
      expect(over).toEqual([]);
      const split = await page.evaluate(`[...document.querySelectorAll('main .grid tbody tr')]
      .filter((one) => getComputedStyle(one).breakInside !== 'avoid').length`);
      expect(split).toBe(0);
      await page.emulateMedia({ media: 'screen' });
    },
  );

  it('has no heading alone at the foot of a page', async () => {
    await page.setContent(cardHtml(cardOf(played, { job: 'job-1', last })));
    const headings = (await page.evaluate(
      `[...document.querySelectorAll('main h2, main h3, main tr.group th')].map((one) => one.textContent)`,
    )) as readonly string[];
    expect(headings.length).toBeGreaterThan(10);
    const foot = flat(`${played.pack.pack} ${played.pack.revision}`);
    for (const format of ['A4', 'Letter'] as const) {
      for (const text of pdfPages(await page.pdf({ format }))) {
        // What is printed again on every page may come before or after what is between.
        const parts = text.split(foot).map((part) => part.slice(-80));
        for (const one of headings.map(flat))
          if (one.length > 6) for (const part of parts) expect(part.endsWith(one), one).toBe(false);
      }
    }
  });

  it('shows hostile texts as texts', async () => {
    const card = hostileCard(cardOf(played, { job: 'job-1', last }));
    await page.setContent(cardHtml(card));
    const found = (await page.evaluate(`({
      made: [...document.querySelectorAll('script, img, a, iframe, object, embed, link, form, input, base, foreignObject')].length,
      handlers: [...document.querySelectorAll('*')].flatMap((one) => [...one.attributes]).filter((one) => /^on|^href$|^src$|^style$/.test(one.name)).length,
      shown: document.body.textContent.split('<script>document.title=2</script>').length,
      title: document.title,
    })`)) as {
      readonly made: number;
      readonly handlers: number;
      readonly shown: number;
      readonly title: string;
    };
    expect([found.made, found.handlers]).toEqual([0, 0]);
    expect(found.shown).toBeGreaterThan(60);
    expect(found.title).not.toMatch(/^[12]$/);
  });
});
