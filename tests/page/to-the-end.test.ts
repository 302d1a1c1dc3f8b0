import { runTrial } from '@ferrule/check';
import type { Fact } from '@ferrule/engine';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { type Begun, beginOn, begun } from './begin-on.ts';
import { byTouch } from './hands.ts';
import { canBrowse, launch, onceMore } from './page-rig.ts';
import { jobOf, type Work, Worker, workOf } from './worker.ts';

type Called = readonly [pack: string, procedure: string, variant: string, trial: string];

/** Jobs whose trials have more to them than the straight way, and what that is; each with something that no other has. */
const jobs: readonly (readonly [has: string, ...Called])[] = [
  ['a night between', 'marram-inline-timing/1.0.0', 'time-by-shims', 'marram-four', 'left-overnight-shims'],
  ['concessions', 'marram-governor/1.0.0', 'set-governor', 'marram-six', 'idle-left-of-six'],
];

/** Three jobs on one engine, and the search for the cause that takes over what they have found. */
const found: readonly Called[] = [
  ['marram-cylinder-balance/1.0.0', 'balance-at-idle', 'marram-four', 'balanced-four'],
  ['marram-cylinder-balance/1.0.0', 'cranking-compression', 'marram-four', 'gone-cold-once'],
  ['marram-fuel-supply/1.0.0', 'service-supply', 'marram-four', 'clean-four'],
];
const search = ['marram-symptoms/1.0.0', 'find-the-cause', 'marram-four'] as const;

/** What a fact says, but for what depends on how quick it went, and for what a picture holds. */
function told({ by, fact }: Fact): unknown {
  switch (fact.kind) {
    case 'started':
      return { by, kind: fact.kind };
    case 'done': {
      const { since: _, photograph, ...said } = fact;
      return { by, ...said, isWithPicture: photograph !== undefined };
    }
    case 'judged': {
      const { verdict, ...said } = fact;
      return { by, ...said, verdict: verdict.elapsed === undefined ? verdict : verdict.verdict };
    }
    // A condition is written out with its keys in the order of the pack, which the bundle sorts.
    case 'branched':
      return { by, ...fact, decided: fact.decided.map(({ condition: _, ...said }) => said) };
    default:
      return { by, ...fact };
  }
}

/** The facts of a job on the page, as they are told. */
const toldOf = (work: Work, { rig }: Begun, job: string): readonly unknown[] =>
  jobOf(work, rig.store, job).facts.map(told);

/** The facts that the trial comes to without the page. */
function toldByTrial({ pack, plan, trial }: Work): readonly unknown[] {
  const { failures, facts } = runTrial(pack, trial.name, trial.written, plan, '');
  expect(failures).toEqual([]);
  return facts.map(told);
}

describe.runIf(canBrowse)('jobs to their end on the page, in Chromium', onceMore, () => {
  let browser: Browser;
  let on: Begun | undefined;
  beforeAll(async () => {
    browser = await launch();
  }, 120_000);
  afterAll(() => browser?.close());
  afterEach(async () => {
    await on?.context.close();
    await on?.rig.end();
    on = undefined;
  });

  test.each(jobs)(
    'with %s: %s, %s for %s comes to what the trial %s comes to, fact by fact',
    async (_, ...called) => {
      const work = await workOf(...called);
      on = await begun(browser, work, byTouch);
      const { page, worker, job, faults } = on;
      await worker.goOn(page, job);
      await page.getByRole('heading', { name: 'The job is closed' }).waitFor();
      expect(toldOf(work, on, job)).toEqual(toldByTrial(work));
      expect(worker.missed).toEqual([]);
      expect(faults).toEqual([]);
    },
    300_000,
  );

  test('what three jobs have found on an engine is taken over by the search for the cause', async () => {
    const [first, ...others] = await Promise.all(found.map((called) => workOf(...called)));
    const [one, other] = await Promise.all([
      workOf(...search, 'start-compression-of-the-four'),
      workOf(...search, 'return-carried'),
    ]);
    // The two trials take over different readings; this search takes over all of them.
    const carry = { ...other.answers.carried, ...one.answers.carried };
    const searching: Work = { ...one, answers: { ...one.answers, carried: carry } };
    if (first === undefined) throw new Error('no job');
    on = await begun(browser, first, byTouch);
    const { page, url, rig, faults } = on;
    await on.worker.goOn(page, on.job);
    expect(toldOf(first, on, on.job)).toEqual(toldByTrial(first));
    const jobs = [on.job];
    for (const work of others) {
      const worker = new Worker(rig, work, byTouch);
      const job = await beginOn(page, url, work, worker);
      await worker.goOn(page, job);
      expect(toldOf(work, on, job)).toEqual(toldByTrial(work));
      jobs.push(job);
    }
    const worker = new Worker(rig, searching, byTouch);
    const job = await beginOn(page, url, searching, worker);
    await worker.goOn(page, job);
    const { facts } = jobOf(searching, rig.store, job);
    expect(facts.at(-1)?.fact).toMatchObject({ kind: 'closed', finished: true });
    const carried = facts.flatMap(({ fact }) => (fact.kind === 'carried' ? [fact] : []));
    expect(carried.map(({ entry, from }) => [entry, from.job])).toEqual([
      ['return-flow', jobs[2]],
      ...[1, 2, 3, 4].map((bore) => [`drop@${bore}`, jobs[0]]),
      ...[1, 2, 3, 4].map((bore) => [`compression@${bore}`, jobs[1]]),
    ]);
    expect(faults).toEqual([]);
  }, 300_000);
});
