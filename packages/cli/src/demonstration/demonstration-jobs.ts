import { join } from 'node:path';
import { answersOf, runScript } from '@ferrule/check';
import type { Fact, written } from '@ferrule/engine';
import { bundleOf } from '@ferrule/source';
import { type Keep, keepNew } from '../job/keep.ts';
import { writeTime } from '../job/occasion.ts';
import { releaseRecordOf } from '../job/release-of.ts';
import { type Faulty, openPack, planOf } from '../pack/open-pack.ts';
import { complain } from '../terminal/output.ts';

/** A job that a scripted person does, to its end or until it is left for somebody else. */
interface Demonstrated {
  /** The folder of its pack, from the checkout. */
  readonly pack: string;
  readonly procedure: string;
  readonly variant: string;
  /** The trial of the pack whose answers are given, and what is answered otherwise. */
  readonly like: string;
  readonly answers?: written.Answers;
  /** It is left when so many verdicts have been given; else it is done to its end. */
  readonly verdicts?: number;
  /** How long ago its last fact was, in minutes. */
  readonly lastAgo: number;
}

const DAY = 24 * 60;

/**
 * Two finished jobs, done by a revision that has a newer one: what was good enough at one of them is not any more. Then two
 * that are half done, the one to begin with last; each of these has a reading behind it that was not good enough.
 */
const demonstrated: readonly Demonstrated[] = [
  {
    ...{ pack: 'specs/marram-unit-pumps/1.0.0', procedure: 'install-and-synchronise' },
    ...{ variant: 'marram-four', like: 'clean-four', lastAgo: 12 * DAY },
    answers: { fields: { 'engine-serial': 'ME-400198', vessel: 'Pilot boat 1, port engine' } },
  },
  {
    ...{ pack: 'specs/marram-unit-pumps/1.0.0', procedure: 'install-and-synchronise' },
    ...{ variant: 'marram-four', like: 'set-point-at-its-limits', lastAgo: 5 * DAY },
    answers: { fields: { 'engine-serial': 'ME-400203', vessel: 'Pilot boat 1, starboard engine' } },
  },
  {
    ...{ pack: 'specs/marram-unit-pumps/1.1.0', procedure: 'install-and-synchronise' },
    ...{ variant: 'marram-four', like: 'clean-four', verdicts: 35, lastAgo: 95 },
    answers: { readings: { 'rack-shift@3': ['0.049 mm', '0.037 mm'] } },
  },
  {
    ...{ pack: 'specs/valve-clearance/1.0.0', procedure: 'set-clearances' },
    ...{ variant: 'marram-four', like: 'one-tight-one-wide', verdicts: 5, lastAgo: 6 },
  },
];

/** Makes the jobs of the demonstration in a store, with times that have just passed. What is wrong is printed. */
export async function makeDemonstrationJobs(
  checkout: string,
  store: string,
  now: Date,
): Promise<Faulty | undefined> {
  for (const one of demonstrated) {
    const faulty = await makeOne(one, checkout, store, now);
    if (faulty !== undefined) return faulty;
  }
  return undefined;
}

async function makeOne(
  { pack, procedure, variant, like, answers: otherwise, verdicts, lastAgo }: Demonstrated,
  checkout: string,
  store: string,
  now: Date,
): Promise<Faulty | undefined> {
  const folder = join(checkout, pack);
  const opened = await openPack(folder, 'text');
  if ('exitCode' in opened) return opened;
  const plan = planOf(opened, { procedure, variant }, 'text');
  if ('exitCode' in plan) return plan;
  const answers = answersOf(opened.pack, {
    like,
    ...(otherwise === undefined ? {} : { answers: otherwise }),
  });
  if (answers === undefined) return stopped(`${pack} has no trial ${like}.`);
  const { digest, text: bundle } = bundleOf(opened.reading.document);
  const batchesFrom = (
    startsAt: string,
  ): { readonly batches: readonly (readonly Fact[])[]; readonly ended: string } => {
    const batches: (readonly Fact[])[] = [];
    const { ended } = runScript(plan, answers, {
      ...{ bundle: digest, onlyNamed: true, startsAt },
      ...(verdicts === undefined ? {} : { until: hasVerdicts(verdicts) }),
      onFacts: (batch) => batches.push(batch),
    });
    return { batches, ended };
  };
  // How long the work takes shows when it is done: once to see that, and once in time.
  const tried = batchesFrom(writeTime(now)).batches.flat();
  const took = Date.parse(tried.at(-1)?.at ?? '') - Date.parse(tried[0]?.at ?? '');
  const begun = new Date(now.getTime() - lastAgo * 60_000 - took);
  const { batches, ended } = batchesFrom(writeTime(begun));
  const isAsMeant = ended === (verdicts === undefined ? 'closed' : 'stopped');
  if (!isAsMeant) return stopped(`The job ${procedure} of ${pack}, like ${like}, came out as ${ended}.`);
  const release = releaseRecordOf(opened);
  const source = { plan, folder, digest, bundle, ...(release === undefined ? {} : { release }) };
  return keepAll(keepNew(store, source, begun), batches);
}

const hasVerdicts =
  (most: number) =>
  (job: { readonly facts: readonly Fact[] }): boolean =>
    job.facts.filter(({ fact }) => fact.kind === 'judged').length >= most;

function keepAll(keep: Keep, batches: readonly (readonly Fact[])[]): Faulty | undefined {
  let kept = 0;
  for (const batch of batches) {
    const unkept = keep.add(batch, kept);
    if (unkept !== undefined) return stopped(unkept.message);
    kept += batch.length;
  }
  return undefined;
}

function stopped(why: string): Faulty {
  complain(`ferrule: ${why}`);
  return { exitCode: 2 };
}
