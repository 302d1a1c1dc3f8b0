import type { Value } from '../logic/index.ts';
import type { Unsuitable } from '../measure/index.ts';
import type { Plan } from '../model/plan.ts';
import { advance, startControl } from './advance.ts';
import type { Control } from './control.ts';
import { PHASE, progressOf, tookIt } from './control.ts';
import { countedAt } from './counted-at.ts';
import type { Fact, FactBody, InstrumentUsed } from './fact.ts';
import { FactList } from './fact-list.ts';
import { findEntry, findNode } from './find.ts';
import type { Indication } from './repeats.ts';
import type { Signal } from './signal.ts';
import { type Taken, takenReading } from './taken.ts';

/** A job as its facts make it. State is the fold of the facts; nothing in it is stored. */
export interface Job {
  readonly started: Extract<FactBody, { kind: 'started' }>;
  readonly facts: readonly Fact[];
  readonly seq: number;
  readonly control: Control;
  /** By entry: what was last recorded and not struck. `control` says whether it still counts. */
  readonly taken: readonly (Taken | undefined)[];
  /** By entry: what there is of a reading that is taken several times and not complete. Only at the step that takes it. */
  readonly underWay: readonly (readonly Indication[] | undefined)[];
  readonly instruments: readonly InstrumentUsed[];
  /** Instruments that are used by concession: which, what for, and who allowed it. */
  readonly allowed: readonly Allowed[];
  /** Sizes of stocks that are not in the drawer. */
  readonly usedUp: readonly { readonly stock: string; readonly size: string }[];
  /** Who has which role; somebody may have several, and a role several people. */
  readonly persons: readonly { readonly role: string; readonly person: string }[];
  /** By the place of the node: who acted there last, and who took its entries since. */
  readonly doers: readonly (readonly string[] | undefined)[];
  /** When the job came to where it stands: the time of the last fact that moved it. */
  readonly since: string;
  /** The time of the last fact. */
  readonly at: string;
  /** By node, for steps from which time counts: when the act was done; without an act, when its last entry was taken. */
  readonly doneAt: ReadonlyMap<number, string>;
}

export interface Allowed {
  readonly instrument: string;
  readonly because: Unsuitable['because'];
  readonly by: string;
}

export type { Carried, Taken } from './taken.ts';

/** The value that an expression reads under a name, if it is recorded. */
export function recordedValue(taken: Taken | undefined): Value | undefined {
  if (taken?.entry !== 'reading') return taken?.text;
  if (taken.beyond !== undefined) return undefined;
  const { kind, value } = taken.quantity;
  return taken.isInexact === true ? { kind, value } : taken.quantity;
}

/** The facts by which an entry was taken: of a reading that was repeated, all of them. */
export function factsOf(taken: Taken | undefined): readonly number[] {
  if (taken === undefined) return [];
  return taken.entry === 'reading' ? taken.facts : [taken.seq];
}

/** What a fact means to the control, or nothing. */
export function signalOf(plan: Plan, job: Job, fact: FactBody): Signal | undefined {
  switch (fact.kind) {
    case 'started':
      return { signal: 'started' };
    case 'acknowledged':
      return { signal: 'acknowledged' };
    case 'done':
    case 'referred':
      return { signal: 'done' };
    case 'omitted':
      return { signal: 'omitted' };
    case 'branched':
      return { signal: 'branched', truth: fact.decided.map((one) => one.truth) };
    case 'reading':
    case 'carried':
    case 'filled':
      if (fact.kind === 'reading' && fact.open === true) return undefined;
      return { signal: 'recorded', entry: indexOf(plan, fact.entry) };
    case 'observed': {
      const index = indexOf(plan, fact.entry);
      const entry = plan.entries[index];
      const answer =
        entry?.entry === 'observation' ? entry.answers.findIndex((one) => one.id === fact.answer) : -1;
      if (answer < 0) throw new RangeError(`${fact.entry} has no answer ${fact.answer}`);
      return { signal: 'observed', entry: index, answer };
    }
    case 'identified':
      return { signal: 'identified', entry: indexOf(plan, fact.entry), part: fact.part };
    case 'judged': {
      const { verdict } = fact;
      const side = verdict.verdict === 'nonconforming' ? verdict.side : undefined;
      return { signal: 'judged', outcome: side ?? verdict.verdict };
    }
    case 'struck':
      if (fact.open === true) return undefined;
      if (fact.entry !== undefined) return struckBy(plan, job, indexOf(plan, fact.entry), fact.step);
      return { signal: 'undone', node: findNode(plan, fact.step) ?? job.control.at };
    case 'released':
      return { signal: 'released', release: fact.release };
    case 'witnessed':
      return { signal: 'witnessed' };
    case 'parked':
      return { signal: 'parked' };
    case 'resumed':
      return { signal: 'resumed' };
    case 'closed':
      return { signal: 'closed', finished: fact.finished };
    case 'equipped':
    case 'allowed':
    case 'out-of-stock':
    case 'joined':
    case 'held':
    case 'noted':
      return undefined;
  }
}

/** A step that was left out since, or will be entered anew, gives way to one that took the entry too and stands. */
function struckBy(plan: Plan, job: Job, entry: number, step: string): Signal {
  const took = tookIt(plan, job.control, entry);
  const named = findNode(plan, step) ?? -1;
  return { signal: 'struck', entry, node: took.includes(named) ? named : (took.at(-1) ?? named) };
}

function indexOf(plan: Plan, name: string): number {
  const index = findEntry(plan, name);
  if (index === undefined) throw new RangeError(`the plan has no entry ${name}`);
  return index;
}

const lists = new WeakMap<Job, FactList>();

/** A job whose facts are put together when they are asked for. */
function withFacts(list: FactList, more: Omit<Job, 'facts'>): Job {
  const job: Job = {
    ...more,
    get facts() {
      return list.facts;
    },
  };
  lists.set(job, list);
  return job;
}

/** The facts of a job; one that was put together by somebody else is read as it is. */
function listOf(job: Job): FactList {
  const known = lists.get(job);
  if (known !== undefined) return known;
  const first = job.facts[0];
  if (first === undefined) throw new RangeError('a job has a first fact');
  return job.facts.slice(1).reduce((list, fact) => list.with(fact), FactList.of(first));
}

/** The fact of a job with a sequence number. */
export const factAt = (job: Job, seq: number): Fact | undefined => listOf(job).at(seq);

/** The job that a first fact starts. */
export function jobFrom(plan: Plan, fact: Fact): Job {
  if (fact.fact.kind !== 'started') throw new RangeError('the first fact of a job says that it started');
  return withFacts(FactList.of(fact), {
    started: fact.fact,
    seq: fact.seq,
    control: startControl(plan),
    taken: [],
    underWay: [],
    instruments: fact.fact.instruments,
    allowed: [],
    usedUp: [],
    persons: fact.fact.persons,
    doers: [],
    since: fact.at,
    at: fact.at,
    doneAt: new Map(),
  });
}

/** The job after one more fact. */
export function withFact(plan: Plan, job: Job, fact: Fact): Job {
  const body = fact.fact;
  const signal = signalOf(plan, job, body);
  const control = signal === undefined ? job.control : advance(plan, job.control, signal);
  const hasMoved = control.at !== job.control.at || phaseOf(plan, control) !== phaseOf(plan, job.control);
  let { taken, doers, doneAt, instruments, allowed, usedUp, persons } = job;
  const node = plan.nodes[job.control.at];
  const isCounted = node?.node === 'step' && countedAt(plan, node.index).length > 0;
  let underWay = hasMoved || control.hold !== job.control.hold ? [] : job.underWay;
  switch (body.kind) {
    case 'reading':
    case 'carried':
    case 'filled':
    case 'observed':
    case 'identified': {
      const index = indexOf(plan, body.entry);
      const made = takenBy(plan, job, fact.seq, body);
      if (isUnderWay(made)) underWay = put(underWay, index, made);
      else {
        taken = put(taken, index, made);
        if (underWay[index] !== undefined) underWay = put(underWay, index, undefined);
      }
      const here = doers[job.control.at] ?? [];
      if (isCounted && node.act === undefined) doneAt = new Map(doneAt).set(node.index, fact.at);
      if (!here.includes(fact.by)) doers = put(doers, job.control.at, [...here, fact.by]);
      break;
    }
    case 'done':
    case 'referred':
      if (isCounted) doneAt = new Map(doneAt).set(node.index, fact.at);
      doers = put(doers, job.control.at, body.together === undefined ? [fact.by] : [fact.by, body.together]);
      break;
    case 'struck':
      if (body.entry !== undefined) {
        const index = indexOf(plan, body.entry);
        if (body.open === true)
          underWay = put(
            underWay,
            index,
            underWay[index]?.filter(({ seq }) => seq !== body.target),
          );
        else taken = put(taken, index, undefined);
      }
      break;
    case 'out-of-stock': {
      const { stock, size } = body;
      usedUp = usedUp.filter((one) => one.stock !== stock || one.size !== size);
      if (body.back !== true) usedUp = [...usedUp, { stock, size }];
      break;
    }
    case 'allowed':
      allowed = [...allowed, { instrument: body.instrument, because: body.because, by: fact.by }];
      break;
    case 'equipped':
      instruments = [
        ...instruments.filter(
          ({ kind, identity }) => kind !== body.instrument.kind || identity !== body.instrument.identity,
        ),
        body.instrument,
      ];
      break;
    case 'joined':
      persons = [...persons, { role: body.role, person: body.person }];
      break;
    default:
      break;
  }
  return withFacts(listOf(job).with(fact), {
    started: job.started,
    seq: fact.seq,
    control,
    taken,
    underWay,
    doers,
    instruments,
    allowed,
    usedUp,
    persons,
    since: hasMoved ? fact.at : job.since,
    at: fact.at,
    doneAt,
  });
}

const phaseOf = (plan: Plan, control: Control): number =>
  control.at < plan.nodes.length ? progressOf(plan, control, control.at) : PHASE.done;

function put<T>(list: readonly T[], index: number, item: T): readonly T[] {
  const next = list.slice();
  next[index] = item;
  return next;
}

type Taking = Extract<FactBody, { kind: 'reading' | 'carried' | 'filled' | 'observed' | 'identified' }>;

const isUnderWay = (made: Taken | readonly Indication[]): made is readonly Indication[] =>
  Array.isArray(made);

/** What an entry holds now; of a reading that is not complete, the indications that there are. */
function takenBy(plan: Plan, job: Job, seq: number, body: Taking): Taken | readonly Indication[] {
  switch (body.kind) {
    case 'reading':
    case 'carried': {
      const index = indexOf(plan, body.entry);
      const entry = plan.entries[index];
      const made =
        entry?.entry === 'reading' ? takenReading(entry, job.underWay[index] ?? [], seq, body) : undefined;
      if (made === undefined) throw new RangeError(`${body.digits} ${body.unit} is no quantity`);
      return made;
    }
    case 'filled':
      return { seq, text: body.text, entry: 'field' };
    case 'observed':
      return { seq, text: body.answer, entry: 'observation' };
    case 'identified':
      return { seq, text: body.identity, entry: 'identity' };
  }
}

/** Whether two signals mean the same. */
export function sameSignal(a: Signal, b: Signal): boolean {
  const members = Object.entries(a);
  const others = new Map<string, unknown>(Object.entries(b));
  return members.length === others.size && members.every(([name, value]) => isSame(value, others.get(name)));
}

const isSame = (a: unknown, b: unknown): boolean =>
  Array.isArray(a) && Array.isArray(b)
    ? a.length === b.length && a.every((one, place) => one === b[place])
    : a === b;
