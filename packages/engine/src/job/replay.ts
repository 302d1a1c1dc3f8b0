import { PART, type Plan, type StepNode } from '../model/plan.ts';
import { type Quantity, storedQuantity } from '../quantity/index.ts';
import { openConditions } from './advance.ts';
import { undecidedBeyond } from './beyond-scale.ts';
import { refusedCarry, refusedEngine } from './decide-carry.ts';
import { didWorkAt } from './doers.ts';
import { timesOf } from './elapsed.ts';
import type { Fact, FactBody } from './fact.ts';
import { misformedFact } from './fact-forms.ts';
import { findEntry } from './find.ts';
import { factAt, factsOf, type Job, jobFrom, sameSignal, signalOf, withFact } from './job.ts';
import { isPlausible, nextRepeat, onCircle, type ReadingEntry, saidOfRepeat } from './repeats.ts';
import type { Signal } from './signal.ts';
import { signals, strikes, waysOn } from './signals.ts';
import { wrongRole } from './wrong-role.ts';

export type Replayed =
  | { readonly job: Job; readonly fault?: undefined }
  | { readonly fault: { readonly seq: number; readonly message: string }; readonly job?: undefined };

/**
 * The job that stored facts make, each checked: it has the form of its kind, the sequence has no gap, the job is one of
 * this plan, every signal can happen where it stands, and who acted might. Verdicts on tolerances are taken as they were
 * decided then. Returns the first fact that does not fit, and why; it throws for nothing that it finds in the facts.
 */
export function replay(plan: Plan, facts: readonly Fact[]): Replayed {
  let job: Job | undefined;
  for (const fact of facts) {
    const seq = (job?.seq ?? 0) + 1;
    const misfit = misformedFact(fact) ?? (fact.seq === seq ? undefined : `Fact ${seq} is expected here.`);
    if (misfit !== undefined) return faultAt(fact, seq, misfit);
    try {
      const wrong = job === undefined ? notOfPlan(plan, fact) : cannotFollow(plan, job, fact);
      if (wrong !== undefined) return faultAt(fact, seq, wrong);
      job = job === undefined ? jobFrom(plan, fact) : withFact(plan, job, fact);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return faultAt(fact, seq, error.message);
    }
  }
  return job === undefined ? { fault: { seq: 1, message: 'There is no fact.' } } : { job };
}

/** Names the fact as it numbers itself, where it does. */
const faultAt = (fact: Partial<Fact> | null, seq: number, message: string): Replayed => ({
  fault: { seq: typeof fact?.seq === 'number' ? fact.seq : seq, message },
});

/** Why a first fact does not start a job of this plan. */
function notOfPlan(plan: Plan, { fact, by }: Fact): string | undefined {
  if (fact.kind !== 'started') return 'The first fact of a job says that it started.';
  const { pack, revision, procedure, variant } = fact;
  const isSame =
    pack === plan.pack.id &&
    revision === plan.pack.revision &&
    procedure === plan.procedure.id &&
    variant === plan.variant.id;
  if (!isSame) {
    return `This job is of ${pack} ${revision}, ${procedure}, ${variant}; the plan is of ${plan.pack.id} ${plan.pack.revision}, ${plan.procedure.id}, ${plan.variant.id}.`;
  }
  return fact.persons.some((one) => one.person === by) ? undefined : stranger(by);
}

const stranger = (person: string): string => `${person} is not named in this job.`;

/** Kinds of facts that speak of the step that the job is at. */
const atTheStep: ReadonlySet<FactBody['kind']> = new Set([
  ...([
    'branched',
    'acknowledged',
    'done',
    'referred',
    'omitted',
    'judged',
    'witnessed',
    'released',
  ] as const),
  ...(['reading', 'carried', 'observed', 'filled', 'identified'] as const),
]);

/** Why a fact cannot have happened where a job stands. */
function cannotFollow(plan: Plan, job: Job, { fact, by, at }: Fact): string | undefined {
  const { control } = job;
  const here = `This cannot have happened here: ${fact.kind}.`;
  if (control.closed !== undefined) return here;
  if (!job.persons.some((one) => one.person === by)) return stranger(by);
  if ('step' in fact && atTheStep.has(fact.kind) && fact.step !== plan.nodes[control.at]?.path) return here;
  const signal = signalOf(plan, job, fact) ?? asWhole(plan, fact);
  if (signal !== undefined && !canHappen(plan, job, signal)) return here;
  if (fact.kind === 'struck' && fact.open === true && control.parked) return here;
  return contradiction(plan, job, fact, at) ?? misdone(plan, job, fact, by);
}

/** One repeat of a reading can be taken where the reading could be. */
function asWhole(plan: Plan, fact: FactBody): Signal | undefined {
  if (fact.kind !== 'reading') return undefined;
  const entry = findEntry(plan, fact.entry);
  if (entry === undefined) throw new RangeError(`the plan has no entry ${fact.entry}`);
  return { signal: 'recorded', entry };
}

function canHappen(plan: Plan, { control }: Job, signal: Signal): boolean {
  const isIn = (all: readonly Signal[]): boolean => all.some((one) => sameSignal(one, signal));
  if (signal.signal === 'struck' || signal.signal === 'undone')
    return !control.parked && isIn(strikes(plan, control));
  return isIn(waysOn(plan, control)) || isIn(signals(plan, control));
}

/** What a fact says that the plan, or an earlier fact, says otherwise. */
function contradiction(plan: Plan, job: Job, fact: FactBody, at: string): string | undefined {
  switch (fact.kind) {
    case 'reading':
    case 'filled':
    case 'observed':
    case 'identified':
      return wrongEntry(plan, job, fact);
    case 'carried':
      return refusedCarry(plan, job, fact, at)?.message;
    case 'judged':
      return wrongVerdict(plan, job, fact);
    case 'struck':
      return wrongTarget(job, plan, fact);
    case 'branched': {
      const node = plan.nodes[job.control.at];
      const open = node === undefined ? [] : openConditions(node, plan, job.control.bytes);
      const isSame = open.every((one, place) =>
        sameWords(plan.conditions[one]?.says ?? '', fact.decided[place]?.condition ?? ''),
      );
      return isSame ? undefined : 'Other conditions than these are decided here.';
    }
    case 'held':
    case 'released': {
      const hold = plan.holds[job.control.hold];
      if (hold?.id !== fact.hold) return `${fact.hold} is not the hold that is open.`;
      const isSame = fact.kind === 'held' || hold.releases[fact.release]?.by === fact.by;
      return isSame ? undefined : `${fact.hold} is not released by ${fact.by} in this way.`;
    }
    case 'done':
      return stepAt(plan, job)?.act?.act === 'refer-to' ? 'This step leads to a procedure.' : undefined;
    case 'referred': {
      const act = stepAt(plan, job)?.act;
      const isSame = act?.act === 'refer-to' && act.pack === fact.pack && act.procedure === fact.procedure;
      return isSame ? undefined : `This step does not lead to ${fact.procedure} of ${fact.pack}.`;
    }
    case 'joined':
      return plan.roles.some((one) => one.id === fact.role) ? undefined : `There is no role ${fact.role}.`;
    default:
      return undefined;
  }
}

/**
 * Whether two conditions are written with the same words. A canonical bundle has its keys in another order than the files of the
 * pack, and the words of a condition follow it.
 */
function sameWords(one: string, other: string): boolean {
  const sorted = (text: string): string =>
    text
      .split(/[\s{}[\],:"]+|\.(?=\s|$)/)
      .sort()
      .join(' ');
  return one === other || sorted(one) === sorted(other);
}

type Taking = Extract<FactBody, { kind: 'reading' | 'filled' | 'observed' | 'identified' }>;
const taken = {
  reading: 'reading',
  filled: 'field',
  observed: 'observation',
  identified: 'identity',
} as const;

function wrongEntry(plan: Plan, job: Job, fact: Taking): string | undefined {
  const entry = plan.entries[findEntry(plan, fact.entry) ?? -1];
  if (entry?.entry !== taken[fact.kind]) return `${fact.entry} is no ${taken[fact.kind]}.`;
  if (fact.kind === 'reading' && entry.entry === 'reading') {
    const quantity = storedQuantity(fact.digits, fact.unit, entry.kind);
    if (quantity === undefined) return `${fact.digits} ${fact.unit} is no value of ${fact.entry}.`;
    return wrongReading(plan, job, fact, entry, quantity);
  }
  if (fact.kind === 'filled') return refusedEngine(plan, job, entry.name, fact.text)?.message;
  if (fact.kind === 'identified' && entry.entry === 'identity' && entry.as === 'fitted') {
    const found = plan.entries.findIndex(
      (one) => one.entry === 'identity' && one.as === 'found' && one.place === entry.place,
    );
    const isOwn =
      job.control.bytes[entry.partCell] !== PART.unknown && job.taken[found]?.text === fact.identity;
    return isOwn === (fact.part === 'own')
      ? undefined
      : `${fact.identity} is not ${fact.part} at ${entry.place}.`;
  }
  return undefined;
}

function wrongReading(
  plan: Plan,
  job: Job,
  fact: Extract<FactBody, { kind: 'reading' }>,
  entry: ReadingEntry,
  quantity: Quantity,
): string | undefined {
  const index = findEntry(plan, fact.entry) ?? -1;
  const before = job.underWay[index] ?? [];
  const { throughout = [] } = entry;
  const said = fact.throughout ?? [];
  if (said.length !== throughout.length || !throughout.every((one, place) => one === said[place]))
    return `What has to hold throughout ${fact.entry} is said otherwise.`;
  if (fact.beyond !== undefined) {
    const wrong = undecidedBeyond(plan, index, entry, fact.beyond, quantity)?.message;
    const isNext = fact.repeat === (entry.repeats && nextRepeat(before)) && fact.open === undefined;
    return wrong ?? (isNext ? undefined : wrongRepeat(fact.entry));
  }
  if (!isPlausible(quantity, entry)) return `${fact.digits} ${fact.unit} cannot be right for ${fact.entry}.`;
  const asRepeat = saidOfRepeat(entry, before, onCircle(quantity, entry));
  return asRepeat?.repeat === fact.repeat && asRepeat?.open === fact.open
    ? undefined
    : wrongRepeat(fact.entry);
}

const wrongRepeat = (entry: string): string => `Another repeat of ${entry} is taken here.`;

function wrongVerdict(plan: Plan, job: Job, fact: Extract<FactBody, { kind: 'judged' }>): string | undefined {
  const { check } = stepAt(plan, job) ?? {};
  if (check === undefined) return 'Nothing is judged here.';
  const of =
    check.check === 'tolerance'
      ? plan.tolerances[check.tolerance]
      : check.check === 'stock'
        ? plan.selections[check.selection]
        : plan.entries[check.entry];
  if (of?.name !== fact.of) return `This step judges ${of?.name ?? 'nothing'}, not ${fact.of}.`;
  if (check.check === 'tolerance') return wrongTimes(plan, job, check.tolerance, fact);
  if (check.check === 'stock') return undefined;
  if (job.taken[check.entry]?.text === fact.verdict.value) return undefined;
  return `The verdict is on another value than ${fact.of} has.`;
}

/** The times that a verdict was given by are those of the facts. */
function wrongTimes(
  plan: Plan,
  job: Job,
  index: number,
  { verdict: { elapsed = [] } }: Extract<FactBody, { kind: 'judged' }>,
): string | undefined {
  const tolerance = plan.tolerances[index];
  const times = tolerance === undefined ? [] : timesOf(plan, job, tolerance);
  const isSame =
    times.length === elapsed.length &&
    times.every(({ since, until, seconds }, place) => {
      const said = elapsed[place];
      return said?.since === since && said.until === until && said.seconds === seconds;
    });
  return isSame ? undefined : 'The times of the facts are not those by which this was judged.';
}

function wrongTarget(job: Job, plan: Plan, fact: Extract<FactBody, { kind: 'struck' }>): string | undefined {
  const target = factAt(job, fact.target)?.fact;
  const other = `Fact ${fact.target} is not the one that is struck here.`;
  if (target === undefined || !('step' in target) || target.step !== fact.step) return other;
  if (fact.entry === undefined) {
    const isLast = isAct(target) && lastDone(job, fact.step) === fact.target;
    return isLast ? undefined : other;
  }
  const index = findEntry(plan, fact.entry) ?? -1;
  if (fact.open === true)
    return job.underWay[index]?.some(({ seq }) => seq === fact.target) === true ? undefined : other;
  const facts = factsOf(job.taken[index]);
  const rest = facts.filter((one) => one !== fact.target);
  const isAll = rest.length === (fact.also ?? []).length && rest.every((one) => fact.also?.includes(one));
  return facts.includes(fact.target) && isAll ? undefined : other;
}

const isAct = (fact: FactBody): fact is Extract<FactBody, { kind: 'done' | 'referred' }> =>
  fact.kind === 'done' || fact.kind === 'referred';

/** The number of the fact by which a step was last done. */
function lastDone(job: Job, step: string): number {
  let seq = job.seq;
  for (; seq > 0; seq--) {
    const fact = factAt(job, seq)?.fact;
    if (fact !== undefined && isAct(fact) && fact.step === step) break;
  }
  return seq;
}

/** Why the person who acted might not. */
function misdone(plan: Plan, job: Job, fact: FactBody, by: string): string | undefined {
  const node = stepAt(plan, job);
  const needs = (person: string, role: string | undefined): string | undefined =>
    role === undefined ? undefined : wrongRole(job, person, role)?.message;
  const looksAt = (at: number): string | undefined =>
    didWorkAt(plan, job, at, by) ? `${by} did this work, and cannot look at it for another.` : undefined;
  switch (fact.kind) {
    case 'omitted':
      return needs(by, node?.notApplicable);
    case 'witnessed':
      return needs(by, node?.witness) ?? looksAt(job.control.at);
    case 'done':
    case 'referred': {
      if ((node?.together === undefined) !== (fact.together === undefined))
        return 'Two people do together what the procedure says so of, and nothing else.';
      if (fact.together === undefined) return undefined;
      return fact.together === by ? `${by} cannot be both.` : needs(fact.together, node?.together);
    }
    case 'released': {
      const hold = plan.holds[job.control.hold];
      const wrong = needs(by, hold?.releases[fact.release]?.role);
      return wrong ?? (hold === undefined || fact.by === 'rework' ? undefined : looksAt(hold.node));
    }
    default:
      return undefined;
  }
}

function stepAt(plan: Plan, job: Job): StepNode | undefined {
  const node = plan.nodes[job.control.at];
  return node?.node === 'step' ? node : undefined;
}
