import { marginOf } from '../measure/index.ts';
import type { Plan, PlanTolerance } from '../model/plan.ts';
import { Rational } from '../quantity/index.ts';
import type { FactBody, InstrumentUsed, WrittenVerdict } from './fact.ts';
import type { Job } from './job.ts';
import type { ReadingEntry } from './repeats.ts';
import { boundReader, reader } from './value.ts';
import { judgeReadings, sharesIn, takenIn, type VerdictOn } from './verdict-on.ts';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/**
 * What a technician should know about a verdict that stands too near its limit for the instrument, and what to do: always
 * to measure better, never to change what may be good. Undefined when there is nothing to say. It names an instrument of
 * the job that would do, where there is one, and which of several readings is to be taken with it. `job` is the one that the fact belongs to, at that time or later.
 */
export function adviceOn(plan: Plan, job: Job, { of, verdict }: Judged): string | undefined {
  const tolerance = plan.tolerances.find((one) => one.name === of);
  const isDoubtful = verdict.assessment?.doubtful === true;
  if (tolerance === undefined || (verdict.verdict !== 'inconclusive' && !isDoubtful)) return undefined;
  const used = namesOf(plan, job, tolerance);
  const { assessment } = verdict;
  const again = readAgain(plan, job, tolerance, verdict);
  if (verdict.verdict === 'inconclusive') {
    switch (verdict.because) {
      case 'beyond-scale':
        return `It lies beyond the scale of ${used}: read again with an instrument that reaches further.`;
      case 'uncertainty-unknown':
        return `It is not stated how far ${used} may be off: read again with an instrument of which that is known.`;
      default:
        return assessment?.acceptance === 'nowhere'
          ? `Too coarse for these limits: by ${used}, ${goodTo(verdict)}, no value at all would be accepted. To decide, ${again}.`
          : `Too close to the limit for ${used}, ${goodTo(verdict)}: ${again}.`;
    }
  }
  const probability = assessment?.probability ?? '';
  return verdict.verdict === 'conforming'
    ? `Inside its limits as read, but so near to one that by ${used}, ${goodTo(verdict)}, it lies inside with a probability of ${probability} only. To be sure, ${again}.`
    : `Outside its limits as read, but so near that by ${used}, ${goodTo(verdict)}, it may well lie inside, with a probability of ${probability}. Before anything is changed, ${again}.`;
}

const goodTo = ({ assessment }: WrittenVerdict): string =>
  `good to ± ${assessment?.expandedUncertainty ?? '?'} here`;

function readAgain(plan: Plan, job: Job, tolerance: PlanTolerance, verdict: WrittenVerdict): string {
  const { assessment } = verdict;
  const readings = readingsOf(plan, tolerance);
  const better = finer(plan, job, tolerance, readings);
  if (better !== undefined) {
    const { identity, names } = better;
    const which = names.length < readings.length ? `${titlesOf(readings, names)} ` : '';
    return `read ${which}again with ${identity}`;
  }
  // With the reading on the limit the probability is a half, however fine the instrument: another reading has to tell.
  if (assessment?.needed === undefined)
    return 'read again with an instrument that shows finer steps: as read it lies on the limit itself, and a finer one may show it on one side';
  // More of them settle the scatter alone; what the instrument itself is off stays.
  const scatters = readings.some((one) => one.repeats !== undefined);
  const isCoarse = verdict.verdict === 'inconclusive' && verdict.because === 'instrument-too-coarse';
  const more = scatters && !isCoarse ? ', or take more readings' : '';
  const most = readings.length > 1 ? largest(plan, job, tolerance, readings) : undefined;
  const which = most === undefined ? '' : `; most of it comes from ${most}`;
  return `read again with an instrument that is good to ± ${assessment.needed}${more}${which}`;
}

const readingsOf = (plan: Plan, { entries }: PlanTolerance): readonly ReadingEntry[] =>
  entries.flatMap((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' ? [entry] : [];
  });

const titleOf = ({ title, bore }: ReadingEntry): string =>
  bore === undefined ? title : `${title}, bore ${bore}`;

const titlesOf = (readings: readonly ReadingEntry[], names: readonly string[]): string =>
  readings
    .filter((one) => names.includes(one.name))
    .map(titleOf)
    .join(' and ');

/** The title of the reading that has more than half of the variance, where others have another share. */
function largest(
  plan: Plan,
  job: Job,
  tolerance: PlanTolerance,
  readings: readonly ReadingEntry[],
): string | undefined {
  const shares = sharesIn(plan, tolerance, reader(plan, job), takenIn(plan, job));
  const total = [...shares.values()].reduce((sum, one) => sum.plus(one), Rational.zero);
  const found = readings.find(({ name }) => {
    const share = shares.get(name);
    return share !== undefined && share.plus(share).compare(total) > 0;
  });
  return found && titleOf(found);
}

/**
 * An instrument of the job by which the same readings would have been decided, and which of them have to be taken with it:
 * one alone where that is enough. Where what was read lies on the limit itself nothing would be decided by the same
 * reading; then it is one that is finer.
 */
function finer(
  plan: Plan,
  job: Job,
  tolerance: PlanTolerance,
  readings: readonly ReadingEntry[],
): { readonly identity: string; readonly names: readonly string[] } | undefined {
  const taken = takenIn(plan, job);
  const judged = (instrument?: InstrumentUsed, names: readonly string[] = []): VerdictOn =>
    judgeReadings(
      plan,
      tolerance,
      reader(plan, job),
      (name) => {
        const reading = taken(name);
        if (reading === undefined || instrument === undefined || !names.includes(name)) return reading;
        // What was taken over can be measured instead.
        const { carried: _, ...measured } = reading;
        return { ...measured, instrument };
      },
      boundReader(plan, job),
    );
  const before = judged();
  for (const instrument of job.instruments) {
    const others = readings.flatMap(({ name, instrument: kind }) =>
      kind === instrument.kind && taken(name)?.instrument?.identity !== instrument.identity ? [name] : [],
    );
    const ways = others.length > 1 ? [...others.map((one) => [one]), others] : others.map((one) => [one]);
    const names = ways.find((way) => settles(judged(instrument, way), before));
    if (names !== undefined) return { identity: instrument.identity, names };
  }
  return undefined;
}

function settles({ verdict: now }: VerdictOn, { verdict: before, limits }: VerdictOn): boolean {
  if (now.verdict === 'unmeasured' || before.verdict === 'unmeasured') return false;
  const isDecided = now.verdict === 'conforming' || now.verdict === 'nonconforming';
  if (isDecided && now.assessment?.isDoubtful === false) return true;
  const isOnLimit = before.value !== undefined && marginOf(before.value.value, limits).sign === 0;
  const [u, was] = [now.assessment?.uncertainty.variance, before.assessment?.uncertainty.variance];
  return isOnLimit && u !== undefined && was !== undefined && u.times(FOUR).compare(was) <= 0;
}

/** Half the uncertainty: less is no finer instrument. */
const FOUR = Rational.of(4);

/** The instruments by which a tolerance was read, by identity, or by title where nobody named one. */
function namesOf(plan: Plan, job: Job, { entries }: PlanTolerance): string {
  const names = entries.flatMap((index) => {
    const entry = plan.entries[index];
    if (entry?.entry !== 'reading') return [];
    const taken = job.taken[index];
    const used = taken?.entry === 'reading' ? taken.instrument : undefined;
    if (taken?.entry === 'reading' && taken.carried !== undefined)
      return [`the value from the job ${taken.carried.from.job}`];
    const title = plan.instruments.find((one) => one.id === entry.instrument)?.title;
    return [used?.identity ?? (title === undefined ? 'what it was read with' : `the ${title.toLowerCase()}`)];
  });
  return [...new Set(names)].join(' and ');
}
