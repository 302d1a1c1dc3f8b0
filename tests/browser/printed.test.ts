import { fileURLToPath } from 'node:url';
import { type Pack, type Plan, Report, type ResolvedVariant, resolve, resolveVariant } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { crankPicture, procedureGraph, sheet } from '@ferrule/print';
import { bundleOf, readPack } from '@ferrule/source';
import browserHere from '@sparticuz/chromium';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hostile, hostilePack } from './hostile-pack.ts';
import { pdfPages } from './pdf-text.ts';

const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";
const specs = fileURLToPath(new URL('../../specs', import.meta.url));
const flat = (text: string): string => text.replace(/\s+/g, '');
/** As it is shown: a turn of direction is made visible. */
const shown = hostile.replace('\u202e', '\ufffd');

interface Opened {
  readonly pack: Pack;
  readonly digest: string;
}

async function open(name: string): Promise<Opened> {
  const { document } = await readPack(`${specs}/${name}/1.0.0`);
  const { pack } = validate(document);
  if (pack === undefined) throw new Error(`${name} does not fit the format`);
  return { pack, digest: bundleOf(document).digest };
}

function planOf(pack: Pack, procedure: string, variant: string): Plan {
  const { plan, diagnostics } = resolve(pack, { procedure, variant });
  if (plan === undefined) throw new Error(diagnostics[0]?.message ?? 'no plan');
  return plan;
}

// The browser that the registry carries runs on Linux with x64 alone.
const canBrowse = process.platform === 'linux' && process.arch === 'x64';
describe.runIf(canBrowse)('what is printed, in Chromium', () => {
  let browser: Browser;
  let page: Page;
  let pumps: Opened;
  let clearance: Opened;

  beforeAll(async () => {
    [pumps, clearance] = await Promise.all([open('marram-unit-pumps'), open('valve-clearance')]);
    browser = await chromium.launch({
      executablePath: await browserHere.executablePath(),
      args: browserHere.args,
      headless: true,
    });
    page = await browser.newPage();
  }, 120_000);
  afterAll(() => browser?.close());

  it.each(['A4', 'Letter'] as const)('a sheet on %s says on every page what it is', async (format) => {
    const plan = planOf(clearance.pack, 'set-clearances', 'marram-four');
    await page.setContent(sheet(plan, clearance.pack, { digest: clearance.digest }));
    const pages = pdfPages(await page.pdf({ format }));
    expect(pages.length).toBeGreaterThan(3);
    for (const [index, text] of pages.entries()) {
      expect(text).toContain(flat(deferral));
      expect(text).toContain(clearance.digest);
      expect(text).toContain('valve-clearance1.0.0');
      expect(text).toContain(flat(`NOTICE: ${clearance.pack.notice ?? ''}`));
      expect(text).toContain(`page${index + 1}of${pages.length}`);
    }
  });

  it('the sheet of the large pack runs over no edge and says on every page what it is', async () => {
    const plan = planOf(pumps.pack, 'install-and-synchronise', 'marram-five');
    await page.setContent(sheet(plan, pumps.pack, { digest: pumps.digest }));
    const pages = pdfPages(await page.pdf({ format: 'A4' }));
    expect(pages.length).toBeGreaterThan(10);
    for (const text of pages) {
      expect(text).toContain(pumps.digest);
      expect(text).toContain(flat(deferral));
      expect(text).toContain('marram-unit-pumps1.0.0');
    }
    // 188 mm between the margins of A4, at 96 px to the inch.
    await page.setViewportSize({ width: 710, height: 1000 });
    await page.emulateMedia({ media: 'print' });
    const over = await page.evaluate(`[...document.querySelectorAll('td *, th *')]
      .filter((one) => !one.closest('svg') && one.getBoundingClientRect().right > 712).map((one) => one.outerHTML.slice(0, 120))`);
    expect(over).toEqual([]);
    await page.emulateMedia({ media: 'screen' });
  });

  it('a heading or a condition never stands alone at the foot of a page', async () => {
    for (const [name, procedure, variant] of [
      ['marram-symptoms', 'find-the-cause', 'marram-six'],
      ['marram-fuel-supply', 'service-supply', 'marram-four'],
    ] as const) {
      const { pack, digest } = await open(name);
      await page.setContent(sheet(planOf(pack, procedure, variant), pack, { digest }));
      const headings = (await page.evaluate(
        `[...document.querySelectorAll('h2, h3, h4, tr.heading th, caption, table.steps > thead')].map((one) => one.textContent)`,
      )) as readonly string[];
      const pages = pdfPages(await page.pdf({ format: 'A4' }));
      const foot = flat(`${pack.pack} ${pack.revision}`);
      expect(headings.length).toBeGreaterThan(40);
      let found = 0;
      for (const text of pages) {
        // What is printed again on every page may come before or after what is between.
        const between =
          text.slice(text.lastIndexOf('Engineserial') + 'Engineserial'.length).split(foot)[0] ?? '';
        // The table for further readings ends in empty lines under its head.
        if (between.endsWith('Conforming?Signed')) continue;
        found += between.length;
        for (const one of headings.map(flat))
          if (one.length > 3) expect(between.endsWith(one), one).toBe(false);
      }
      expect(found).toBeGreaterThan(8000);
    }
  });

  it('texts of a pack are never markup on a sheet', async () => {
    for (const [opened, procedure, variant] of [
      [clearance, 'set-clearances', 'marram-four'],
      [pumps, 'install-and-synchronise', 'marram-three'],
    ] as const) {
      const pack = hostilePack(opened.pack);
      await page.setContent(sheet(planOf(pack, procedure, variant), pack, { digest: hostile }));
      expect(await page.title()).toContain(shown);
      const found = await page.evaluate(`({
        made: [...document.querySelectorAll('script, img, a, iframe, object, embed, link, form, input, base, foreignObject')].length,
        handlers: [...document.querySelectorAll('*')].flatMap((one) => [...one.attributes]).filter((one) => /^on|^href$|^src$|^style$/.test(one.name)).length,
        text: document.body.textContent,
        policy: document.querySelector('meta[http-equiv]').content,
      })`);
      const { made, handlers, text, policy } = found as {
        made: number;
        handlers: number;
        text: string;
        policy: string;
      };
      expect([made, handlers]).toEqual([0, 0]);
      expect(text.split(shown).length).toBeGreaterThan(60);
      expect(policy).toMatch(/default-src 'none'/);
    }
  });

  it('texts of a pack are never markup in a picture', async () => {
    const pack = hostilePack(pumps.pack);
    const plan = planOf(pack, 'install-and-synchronise', 'marram-three');
    const crank = crankPicture(resolveVariant(pack, 'marram-three', new Report()), {
      runningDirection: hostile,
      heading: { pack: hostile, notice: hostile },
    });
    const marks = {
      refutations: [{ says: hostile, node: plan.nodes.at(-1)?.path ?? '', way: [] }],
      unreached: [],
      isCutShort: false,
    };
    await page.setContent('<!doctype html><title>pictures</title>');
    for (const svg of [crank ?? '', procedureGraph(plan, pack, marks)]) {
      const names = await page.evaluate(`(() => {
        const parsed = new DOMParser().parseFromString(${JSON.stringify(svg)}, 'image/svg+xml');
        return [...new Set([...parsed.querySelectorAll('*')].map((one) => one.nodeName))];
      })()`);
      expect(names).toContain('text');
      for (const name of ['parsererror', 'script', 'img', 'a', 'foreignObject'])
        expect(names).not.toContain(name);
    }
  });

  /** Pairs of texts in a picture that lie over one another by more than a hair. */
  async function overlaps(svg: string): Promise<unknown> {
    await page.setContent(svg);
    return page.evaluate(`(() => {
      const all = [...document.querySelectorAll('text')].map((one) => [one.textContent, one.getBoundingClientRect()]);
      const found = [];
      for (const [i, [a, p]] of all.entries()) for (const [b, q] of all.slice(i + 1)) {
        const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left);
        const high = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
        if (wide > 1 && high > 4) found.push(a + ' / ' + b);
      }
      const size = document.querySelector('svg').getBoundingClientRect();
      for (const [a, p] of all) if (p.left < size.left || p.right > size.right || p.bottom > size.bottom) found.push(a + ' outside');
      return found;
    })()`);
  }

  const orders = [
    [1, 3, 2],
    [1, 3, 4, 2],
    [1, 2, 4, 5, 3],
    [1, 5, 3, 6, 2, 4],
  ] as const;
  it.each(orders.map((order) => [order.length, order] as const))(
    'no text of the crank of %i cylinders lies over another one',
    async (cylinders, order) => {
      const variant = variantOf(pumps.pack, cylinders, order);
      expect(variant.crank.rotation).toBeDefined();
      const picture = crankPicture(variant, {
        runningDirection: 'clockwise, seen from the front',
        heading: { pack: 'Pumps, pumps 1.0.0', notice: 'Demonstration data.' },
      });
      expect(await overlaps(picture ?? '')).toEqual([]);
    },
  );

  it('no text of the graph of a procedure lies over another one', async () => {
    for (const [{ pack }, procedure, variant] of [
      [clearance, 'set-clearances', 'marram-four'],
      [pumps, 'install-and-synchronise', 'marram-four'],
    ] as const)
      expect(await overlaps(procedureGraph(planOf(pack, procedure, variant), pack, undefined))).toEqual([]);
  });
});

/** A variant of the pack with as many cylinders, and so many stops that each bore finds one. */
function variantOf(pack: Pack, cylinders: number, order: readonly number[]): ResolvedVariant {
  const base = pack.variants['marram-four'];
  if (base?.rotation === undefined) throw new Error('the pack plans no rotation');
  const stops = Array.from({ length: 12 }, (_, index) => ({
    at: `${index * 60}°`,
    'held-by': 'the locking arm of the turning tool',
  }));
  const made = {
    ...base,
    title: `Engine of ${cylinders} cylinders`,
    cylinders: String(cylinders),
    'firing-order': order.map(String),
    rotation: { ...base.rotation, stops },
  };
  return resolveVariant({ ...pack, variants: { made } }, 'made', new Report());
}
