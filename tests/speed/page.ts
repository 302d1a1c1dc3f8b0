import { runScript } from '@ferrule/check';
import { jobFormat } from '@ferrule/records';
import { bundleOf } from '@ferrule/source';
import type { Browser, Page } from 'playwright-core';
import { beginOn } from '../page/begin-on.ts';
import { byTouch } from '../page/hands.ts';
import { device, launch, PageRig } from '../page/page-rig.ts';
import { fetchedAhead, firstScreen, kilobytes, loadedFor } from '../page/page-weight.ts';
import { jobOf, type Work, Worker, workOf } from '../page/worker.ts';
import { median } from './contest.ts';
import { duration, type Row, significant } from './row.ts';

const ROUNDS = 7;
const [AIM_KILOBYTES, AIM_VERDICT, AIM_FIRST, AIM_OPEN] = [150, 50, 1000, 300];
/** How many times as slow the processor is made: a phone of the middle beside a desk. */
const THROTTLED = 4;
/** Facts of the long job. */
const LONG = 500;

/** The page at the engine in a browser: what its first screen weighs and takes, and how soon a verdict is seen. */
export async function measurePage(): Promise<readonly Row[]> {
  const of = (variant: string, trial: string): Promise<Work> =>
    workOf('marram-unit-pumps/1.1.0', 'install-and-synchronise', variant, trial);
  const [browser, work, larger] = await Promise.all([
    launch(),
    of('marram-four', 'clean-four'),
    of('marram-six', 'clean-six'),
  ]);
  const rig = new PageRig();
  try {
    const url = await rig.listen();
    const long = keepLongJob(rig, larger);
    return [
      ...(await measureFirst(browser, url)),
      ...(await measureOpening(browser, url, long)),
      ...(await measureVerdict(browser, url, rig, work)),
    ];
  } finally {
    await browser.close();
    await rig.end();
  }
}

/** Does a job in the store until it has the facts of a long one. Answers its name. */
function keepLongJob({ store }: PageRig, { document, plan, answers }: Work): string {
  const job = 'long';
  const bundle = bundleOf(document);
  const { id, revision } = plan.pack;
  const header = {
    ...{ format: jobFormat, job, procedure: plan.procedure.id, variant: plan.variant.id },
    pack: { id, revision, path: '', digest: bundle.digest },
  };
  let seq = 0;
  runScript(plan, answers, {
    bundle: header.pack.digest,
    onFacts: (facts) => {
      if (seq >= LONG) return;
      const done = seq === 0 ? store.create(header, bundle.text, facts) : store.append(job, facts, seq);
      if (done.refused !== undefined) throw new Error(done.message);
      seq = facts.at(-1)?.seq ?? seq;
    },
  });
  if (seq < LONG) throw new Error(`the job has ${seq} facts, not ${LONG}`);
  return job;
}

async function measureFirst(browser: Browser, url: string): Promise<readonly Row[]> {
  const measure = `first screen, processor ${THROTTLED} × slower`;
  const [ours, bare]: [number[], number[]] = [[], []];
  for (let round = 0; round < ROUNDS; round++) {
    const context = await device(browser);
    const page = await context.newPage();
    const control = await context.newCDPSession(page);
    await control.send('Emulation.setCPUThrottlingRate', { rate: THROTTLED });
    ours.push(await until(page, () => page.goto(`${url}/`), 'a[href="#/begin"]'));
    bare.push(await until(page, () => page.goto(`${url}/packs`), 'body'));
    await context.close();
  }
  const [time, beside] = [median(ours), median(bare)];
  const weight = kilobytes(loadedFor(firstScreen));
  const whole = kilobytes(loadedFor([...firstScreen, ...fetchedAhead]));
  return [
    {
      ...{ measure, of: 'until a job can be begun', value: duration(time * 1e6), ratio: '× 1.00' },
      aim: { says: `${AIM_FIRST} ms`, met: time <= AIM_FIRST },
    },
    {
      ...{ measure, of: 'a page of the same server without a script' },
      ...{ value: duration(beside * 1e6), ratio: `× ${significant(beside / time)}` },
    },
    {
      ...{ measure, of: 'what it is made of, gzipped', value: `${significant(weight)} kB` },
      aim: { says: `${AIM_KILOBYTES} kB`, met: weight <= AIM_KILOBYTES },
    },
    {
      ...{ measure, of: 'with the screens that it fetches ahead', value: `${significant(whole)} kB` },
    },
  ];
}

async function measureOpening(browser: Browser, url: string, job: string): Promise<readonly Row[]> {
  const measure = `a job of ${LONG} facts is opened`;
  const times: number[] = [];
  const bare: number[] = [];
  const context = await device(browser);
  const page = await context.newPage();
  for (let round = 0; round <= ROUNDS; round++) {
    await page.goto(`${url}/`);
    await page.locator('a[href="#/begin"]').waitFor();
    const time = await until(page, () => page.evaluate(`location.hash = '#/job/${job}'`), '#step-title');
    const facts = await page.evaluate<number>(`(async () => {
      const before = performance.now();
      let after = 0;
      for (;;) {
        const { facts, more } = await (await fetch('/jobs/${job}/facts?after=' + after)).json();
        after = facts.at(-1)?.seq ?? after;
        if (more === undefined || facts.length === 0) return performance.now() - before;
      }
    })()`);
    // The first round loads what the screen is made of.
    if (round === 0) continue;
    times.push(time);
    bare.push(facts);
  }
  await context.close();
  const [time, beside] = [median(times), median(bare)];
  return [
    {
      ...{ measure, of: 'until its step is there', value: duration(time * 1e6), ratio: '× 1.00' },
      aim: { says: `${AIM_OPEN} ms`, met: time <= AIM_OPEN },
    },
    {
      ...{ measure, of: 'of this: fetching and parsing the facts' },
      ...{ value: duration(beside * 1e6), ratio: `× ${significant(beside / time)}` },
    },
  ];
}

/** Every reading of a job, from the press of the button until the verdict is on the screen, and until the server has it. */
async function measureVerdict(
  browser: Browser,
  url: string,
  rig: PageRig,
  work: Work,
): Promise<readonly Row[]> {
  const measure = 'an entry shows its verdict';
  const context = await device(browser);
  const page = await context.newPage();
  await page.addInitScript(timeVerdicts);
  const worker = new Worker(rig, work, byTouch);
  const job = await beginOn(page, url, work, worker);
  await worker.goOn(page, job, ({ facts }) => facts.length > 250);
  const judged = jobOf(work, rig.store, job).facts.filter(({ fact }) => fact.kind === 'judged').length;
  const { shown, stored } = await page.evaluate<{ shown: number[]; stored: number[] }>('window.verdictTimes');
  await context.close();
  if (shown.length < judged / 2) throw new Error(`${shown.length} of ${judged} verdicts were seen`);
  const [time, beside] = [median(shown), median(stored)];
  return [
    {
      ...{
        measure,
        of: `on the screen, median of ${shown.length}`,
        value: duration(time * 1e6),
        ratio: '× 1.00',
      },
      aim: { says: `${AIM_VERDICT} ms`, met: time <= AIM_VERDICT },
    },
    {
      ...{ measure, of: 'were the answer of the server waited for' },
      ...{ value: duration(beside * 1e6), ratio: `× ${significant(beside / time)}` },
    },
  ];
}

/** From a press until the frame in which a verdict stands that was not there, and until the answer to the next command. */
const timeVerdicts = `
  window.verdictTimes = { shown: [], stored: [] };
  let pressed, before;
  const said = () => document.querySelector('.just-now .just-said')?.textContent;
  const isVerdict = () => document.querySelector('.just-now .verdict-line') !== null;
  addEventListener('click', (event) => {
    if (event.target.closest?.('button')?.textContent !== 'Enter') return;
    pressed = performance.now();
    before = said();
  }, true);
  const ours = window.fetch;
  window.fetch = async (to, ...rest) => {
    const since = pressed;
    const answer = await ours(to, ...rest);
    if (since !== undefined && String(to).endsWith('/commands'))
      window.verdictTimes.stored.push(performance.now() - since);
    return answer;
  };
  document.addEventListener('DOMContentLoaded', () => new MutationObserver(() => {
    if (pressed === undefined || said() === before || !isVerdict()) return;
    const since = pressed;
    pressed = undefined;
    requestAnimationFrame(() => setTimeout(() => window.verdictTimes.shown.push(performance.now() - since)));
  }).observe(document.body, { subtree: true, childList: true, characterData: true }));
`;

/** Milliseconds from an act until something is to be seen on the page. */
async function until(page: Page, act: () => Promise<unknown>, isThere: string): Promise<number> {
  const before = performance.now();
  await act();
  await page.locator(isThere).first().waitFor();
  return performance.now() - before;
}
