import type { Plan, PlanTolerance } from '../model/plan.ts';
import type { FactBody, InstrumentUsed, WrittenVerdict } from './fact.ts';
import type { Job } from './job.ts';
import { boundReader, reader } from './value.ts';
import { judgeReadings, takenIn } from './verdict-on.ts';

type Judged = Extract<FactBody, { kind: 'judged' }>;

/**
 * What a technician should know about a verdict that stands too near its limit for the instrument, and what to do: always
 * to measure better, never to change what may be good. Undefined when there is nothing to say. It names an instrument of
 * the job that would do, where there is one. `job` is the one that the fact belongs to, at that time or later.
 */
export function adviceOn(plan: Plan, job: Job, { of, verdict }: Judged): string | undefined {
  const tolerance = plan.tolerances.find((one) => one.name === of);
  const isDoubtful = verdict.assessment?.doubtful === true;
  if (tolerance === undefined || (verdict.verdict !== 'inconclusive' && !isDoubtful)) return undefined;
  const used = namesOf(plan, job, tolerance);
  if (verdict.verdict === 'inconclusive') {
    switch (verdict.because) {
      case 'beyond-scale':
        return `It lies beyond the scale of ${used}: read again with an instrument that reaches further.`;
      case 'uncertainty-unknown':
        return `It is not stated how far ${used} may be off: read again with an instrument of which that is known.`;
      default:
        return `Too close to the limit for ${used}, ${goodTo(verdict)}: ${readAgain(plan, job, tolerance, verdict)}.`;
    }
  }
  const again = readAgain(plan, job, tolerance, verdict);
  return verdict.verdict === 'conforming'
    ? `Inside its limits as read, but so near to one that by ${used}, ${goodTo(verdict)}, it lies inside with a probability of ${verdict.assessment?.probability ?? ''} only. To be sure, ${again}.`
    : `Outside its limits as read, but so near that by ${used}, ${goodTo(verdict)}, it may well lie inside, with a probability of ${verdict.assessment?.probability ?? ''}. Before anything is changed, ${again}.`;
}

const goodTo = ({ assessment }: WrittenVerdict): string =>
  `good to ± ${assessment?.expandedUncertainty ?? '?'} here`;

function readAgain(plan: Plan, job: Job, tolerance: PlanTolerance, verdict: WrittenVerdict): string {
  const { assessment } = verdict;
  const better = finer(plan, job, tolerance);
  if (better !== undefined) return `read again with ${better.identity}`;
  if (assessment?.needed === undefined)
    return 'it lies on the limit itself, and no instrument can tell on which side. The lead decides';
  // More of them settle the scatter alone; what the instrument itself is off stays.
  const scatters = tolerance.entries.some((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' && entry.repeats !== undefined;
  });
  const isCoarse = verdict.verdict === 'inconclusive' && verdict.because === 'instrument-too-coarse';
  const more = scatters && !isCoarse ? ', or take more readings' : '';
  return `read again with an instrument that is good to ± ${assessment.needed}${more}`;
}

/** An instrument of the job by which the same readings would have been decided. */
function finer(plan: Plan, job: Job, tolerance: PlanTolerance): InstrumentUsed | undefined {
  const taken = takenIn(plan, job);
  return job.instruments.find((instrument) => {
    const isOther = tolerance.entries.some((index) => {
      const entry = plan.entries[index];
      const reading = entry?.entry === 'reading' ? taken(entry.name) : undefined;
      const kind = entry?.entry === 'reading' ? entry.instrument : undefined;
      return kind === instrument.kind && reading?.instrument?.identity !== instrument.identity;
    });
    if (!isOther) return false;
    const { verdict } = judgeReadings(
      plan,
      tolerance,
      reader(plan, job),
      (name) => {
        const reading = taken(name);
        const isOfKind = reading?.instrument?.kind === instrument.kind;
        return reading !== undefined && isOfKind ? { ...reading, instrument } : reading;
      },
      boundReader(plan, job),
    );
    const isDecided = verdict.verdict === 'conforming' || verdict.verdict === 'nonconforming';
    return isDecided && verdict.assessment?.isDoubtful === false;
  });
}

/** The instruments by which a tolerance was read, by identity, or by title where nobody named one. */
function namesOf(plan: Plan, job: Job, { entries }: PlanTolerance): string {
  const names = entries.flatMap((index) => {
    const entry = plan.entries[index];
    if (entry?.entry !== 'reading') return [];
    const taken = job.taken[index];
    const used = taken?.entry === 'reading' ? taken.instrument : undefined;
    const title = plan.instruments.find((one) => one.id === entry.instrument)?.title;
    return [used?.identity ?? (title === undefined ? 'what it was read with' : `the ${title.toLowerCase()}`)];
  });
  return [...new Set(names)].join(' and ');
}
