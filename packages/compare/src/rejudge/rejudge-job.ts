import {
  type Fact,
  findEntry,
  judgeReadings,
  type PlanTolerance,
  Rational,
  recordedValue,
  selectByReadings,
  type Taken,
  type TakenReading,
  type VerdictOn,
  type WrittenVerdict,
} from '@ferrule/engine';
import { type Indication, type ReadingEntry, takenReading, writeVerdict } from '@ferrule/engine/judge';
import { factsOfJob, type Given, Instruments, type JobFacts, type Recorded } from './job-facts.ts';
import type { Judge, Measure } from './judge.ts';
import { type Known, KnownOutcomes } from './known-outcomes.ts';
import type { Becomes, CannotReason, Outcome } from './outcome.ts';

type Word = WrittenVerdict['verdict'];

export interface RejudgeOptions {
  /** Judges again what has not changed, too. */
  readonly all: boolean;
}

/** What was worked out for other jobs and holds for the next one, too. */
export class WorkedOut {
  readonly instruments = new Instruments();
  readonly outcomes = new KnownOutcomes();
}

/**
 * Judges a job by another revision of its procedure, with the same readings and the instruments as they were then. Takes
 * the facts of a record that can be relied on. Pure. Throws a RangeError where the facts do not fit the plan.
 */
export function rejudgeJob(
  judge: Judge,
  facts: readonly Fact[],
  options: RejudgeOptions,
): readonly Outcome[] {
  const found: Outcome[] = [];
  eachOutcome(judge, facts, options, new WorkedOut(), (measure, becomes, seq) => {
    found.push({ measure, ...(seq === undefined ? {} : { seq }), ...becomes });
  });
  return found;
}

/**
 * As `rejudgeJob`, for very many jobs: tells each measure with what becomes of it and the fact of the verdict then. For the
 * same objects of facts it tells the same object.
 */
export function eachOutcome(
  judge: Judge,
  facts: readonly Fact[],
  { all }: RejudgeOptions,
  workedOut: WorkedOut,
  tell: (measure: number, becomes: Becomes, seq: number | undefined) => void,
): void {
  const job = factsOfJob(judge, facts);
  for (const [index, measure] of judge.measures.entries()) {
    const given = job.given.get(index);
    const isDecided = given !== undefined && measure.judges !== 'stock';
    const known = isDecided ? knownFor(workedOut.outcomes.of(measure), given) : undefined;
    const becomes = known?.becomes ?? becomesOf(judge, index, measure, given, job, all, workedOut);
    if (known !== undefined && known.becomes === undefined) workedOut.outcomes.keep(known, becomes);
    if (becomes !== undefined) tell(index, becomes, given?.seq);
  }
}

/** Follows the objects that decide what becomes of a verdict: what it was, and what was recorded for each need. */
function knownFor(from: Known, { verdict, recorded }: Given): Known {
  let known = from.next(verdict);
  for (const one of recorded) {
    if (one?.facts === undefined) known = known.next(one?.text);
    else for (const { body } of one.facts) known = known.next(body);
  }
  return known;
}

/** Whether a measure is judged otherwise, as far as the revisions say. */
const isTouched = ({ parts, because, was, place }: Measure): boolean =>
  parts.length > 0 || because.length > 0 || was === undefined || place === undefined;

function becomesOf(
  judge: Judge,
  index: number,
  measure: Measure,
  given: Given | undefined,
  job: JobFacts,
  all: boolean,
  { instruments }: WorkedOut,
): Becomes | undefined {
  const was = given?.verdict;
  if (measure.place === undefined) return was && { outcome: 'gone', was };
  if (was !== undefined && !all && !isTouched(measure)) return { outcome: 'untouched', was };
  const cannot = (because: CannotReason, names: readonly string[] = []): Becomes => ({
    ...{ outcome: 'cannot', because, names },
    ...(was === undefined ? {} : { was }),
  });
  if (measure.lacks.length > 0) return cannot('no-such-reading', measure.lacks);
  if (given === undefined && measure.was !== undefined) return cannot(whyNotGiven(measure, index, job));
  const recorded = given?.recorded ?? measure.needs.map(([was]) => job.last.get(was));
  if (recorded.includes(undefined) && measure.judges !== 'tolerance')
    return cannot(given === undefined ? whyNotGiven(measure, index, job) : 'not-counting');
  const found = judgeNow(judge, measure, recorded, given, job, instruments);
  if (found.because !== undefined) {
    // What is missing has its reason in the job.
    if (found.because !== 'not-counting') return cannot(found.because, found.names);
    return given === undefined
      ? cannot(whyNotGiven(measure, index, job), found.names)
      : cannot('not-counting', found.names);
  }
  const { is } = found;
  if (was === undefined) return isUnknown(is) ? cannot('uncertainty-unknown') : { outcome: 'added', is };
  if (is.verdict === was.verdict) return { outcome: 'same', was, is };
  if (isUnknown(is)) return cannot('uncertainty-unknown');
  return { outcome: isTouched(measure) ? 'changed' : 'unexplained', was, is };
}

const isUnknown = (verdict: WrittenVerdict): boolean =>
  verdict.verdict === 'inconclusive' && verdict.because === 'uncertainty-unknown';

/** Why there is no verdict that counts. */
function whyNotGiven(measure: Measure, index: number, { struck, leftOut }: JobFacts): CannotReason {
  if (struck.has(index)) return 'struck';
  const isIn = (step: string): boolean => leftOut.has(step);
  return measure.steps.some(isIn) ? 'left-out' : 'not-taken';
}

type Found =
  | { readonly is: WrittenVerdict; readonly because?: undefined }
  | { readonly because: CannotReason; readonly names: readonly string[] };

function judgeNow(
  judge: Judge,
  measure: Measure,
  recorded: readonly (Recorded | undefined)[],
  given: Given | undefined,
  job: JobFacts,
  instruments: Instruments,
): Found {
  const { after: plan } = judge;
  const place = measure.place ?? -1;
  const fault = (because: CannotReason, ...names: readonly string[]): Found => ({ because, names });
  if (measure.judges === 'serial-number') {
    return measure.parts.length === 0 && given !== undefined
      ? { is: given.verdict }
      : fault('other-serial-numbers');
  }
  if (measure.judges === 'answer') {
    const entry = plan.entries[place];
    const said = recorded[0]?.text;
    const answer = entry?.entry === 'observation' ? entry.answers.find(({ id }) => id === said) : undefined;
    if (answer === undefined) return fault('no-such-answer', measure.name);
    return { is: { verdict: answer.conforming ? 'conforming' : 'nonconforming', value: answer.id } };
  }
  const taken = new Map<string, Taken>();
  for (const [index, [, name]] of measure.needs.entries()) {
    const entry = plan.entries[findEntry(plan, name) ?? -1];
    const found = recorded[index];
    if (entry === undefined || found === undefined) continue;
    if (found.text !== undefined) {
      if (entry.entry !== 'reading') taken.set(name, { seq: 0, text: found.text, entry: entry.entry });
      continue;
    }
    if (entry.entry !== 'reading') return fault('other-quantity', name);
    if (found.facts.length < (entry.repeats?.times ?? 1) && found.facts[0]?.body.kind === 'reading') {
      const isBeyond = found.facts.some(({ body }) => body.kind === 'reading' && body.beyond !== undefined);
      if (!isBeyond) return fault('fewer-repeats', name);
    }
    const made = asTaken(judge, entry, found.facts, instruments);
    if (made === undefined) return fault('other-quantity', name);
    taken.set(name, made);
  }
  const times = timesOf(judge, given);
  const timed = measure.judges === 'tolerance' ? plan.tolerances[place]?.elapsed : undefined;
  if ((timed ?? []).some((index) => !times.has(plan.elapsed[index]?.name ?? '')))
    return fault('no-such-time');
  const read: Parameters<typeof judgeReadings>[2] = (name) => {
    if (name === 'variant') return plan.variant.id;
    const time = times.get(name);
    return time === undefined ? recordedValue(taken.get(name)) : { kind: 'time', value: time };
  };
  const takenBy = (name: string): TakenReading | undefined => {
    const one = taken.get(name);
    return one?.entry === 'reading' ? one : undefined;
  };
  const boundOf: Parameters<typeof judgeReadings>[4] = (name) => {
    const one = taken.get(name);
    return one?.entry === 'reading' && one.beyond !== undefined
      ? { beyond: one.beyond, amount: one.quantity }
      : undefined;
  };
  if (measure.judges === 'stock') {
    const selection = plan.selections[place];
    if (selection === undefined) return fault('no-value');
    const usedUp = given?.usedUp ?? job.usedUp;
    const chosen = selectByReadings(plan, selection, read, takenBy, usedUp, boundOf);
    if (chosen.missing !== undefined) return fault('not-counting', ...chosen.missing);
    const word: Word = chosen.choice?.choice === 'chosen' ? 'conforming' : 'nonconforming';
    return {
      is: { verdict: word, ...(measure.limitsNow === undefined ? {} : { limits: measure.limitsNow }) },
    };
  }
  const tolerance = plan.tolerances[place];
  if (tolerance === undefined) return fault('no-value');
  const made = judgeReadings(plan, tolerance, read, takenBy, boundOf);
  const { verdict } = made;
  if (verdict.verdict === 'unmeasured') {
    const gone = verdict.missing.filter((name) => !taken.has(name));
    return gone.length > 0 ? fault('not-counting', ...gone) : fault('no-value', ...verdict.missing);
  }
  return { is: written(measure, tolerance, made, given, takenBy) };
}

/** A verdict in full only where it or its value differs: to write one takes longer than to give it. */
function written(
  { parts }: Measure,
  tolerance: PlanTolerance,
  made: VerdictOn,
  given: Given | undefined,
  takenBy: (name: string) => TakenReading | undefined,
): WrittenVerdict {
  const { verdict } = made;
  const isOther = parts.includes('value') || parts.includes('reading');
  if (!isOther && verdict.verdict === given?.verdict.verdict) return given.verdict;
  const full = writeVerdict(tolerance, made, takenBy);
  if (full === undefined) throw new Error('a verdict on what is measured can be written');
  return full;
}

function asTaken(
  judge: Judge,
  entry: ReadingEntry,
  facts: NonNullable<Recorded['facts']>,
  instruments: Instruments,
): Taken | undefined {
  let before: readonly Indication[] = [];
  for (const { seq, body } of facts) {
    const used = body.kind === 'reading' ? body.instrument : undefined;
    const made = takenReading(
      entry,
      before,
      seq,
      used === undefined || body.kind !== 'reading'
        ? body
        : { ...body, instrument: instruments.of(used, judge.instrumentNow(used.kind)) },
    );
    if (made === undefined || 'entry' in made) return made;
    before = made;
  }
  return undefined;
}

/** The times that the verdict was given by, by the names that they have now. */
function timesOf({ after: now, stepNow }: Judge, given: Given | undefined): ReadonlyMap<string, Rational> {
  const found = new Map<string, Rational>();
  for (const { since, until, seconds } of given?.verdict.elapsed ?? []) {
    const value = Rational.parse(seconds);
    const path = (node: number | undefined): string | undefined =>
      node === undefined ? undefined : now.nodes[node]?.path;
    const one = now.elapsed.find(
      (time) =>
        path(time.since) === stepNow(since) &&
        path(time.until) === (until === undefined ? undefined : stepNow(until)),
    );
    if (one !== undefined && value !== undefined) found.set(one.name, value);
  }
  return found;
}
