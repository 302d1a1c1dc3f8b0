import {
  type Command,
  decide,
  type Entry,
  exampleOf,
  type Fact,
  hasShape,
  isLive,
  type Job,
  jobFrom,
  PART,
  type Plan,
  type Refusal,
  type Shape,
  type Signal,
  sameSignal,
  signalOf,
  start,
  withFact,
} from '@ferrule/engine';
import { ScriptClock, secondsAMove } from '../clock.ts';
import { ScriptedPerson, scriptedPhotograph } from '../scripted-person.ts';
import { type Simulated, type Stays, simulate } from './demands.ts';
import { findValues } from './find-values.ts';
import { type Passing, scheduled } from './spans.ts';

export interface ReplayOptions {
  /** Digest of the bundle that the job is pinned to. */
  readonly bundle?: string;
  /** RFC 3339; the clock moves by itself from there. */
  readonly startsAt?: string;
  /**
   * The job has to stop where the way ends: nothing may follow by itself. At a choice the conditions may be named that are
   * to hold there, as they are written, and no others.
   */
  readonly stays?: Stays;
  /** How many values are tried for readings that depend on one another. */
  readonly mostTrials?: number;
}

/** A real job that goes a way, or how far it came and why not further. */
export type Replayed =
  | {
      readonly job: Job;
      readonly facts: readonly Fact[];
      /** For each signal of the way, the place of the fact that it comes from. */
      readonly factOf: readonly number[];
      readonly failed?: undefined;
    }
  | {
      readonly failed: {
        /** How many signals came about, or would have. */
        readonly after: number;
        readonly why: string;
        /**
         * `no-values`: it is proved that no readings bring the way about. `values-not-found`: none were found, there may
         * be some. `no-part`: a part would have to stand in two places, or there is none. `refused`: somebody has to do what
         * `decide` refuses. `otherwise`: the job went another way.
         */
        readonly because: 'no-values' | 'values-not-found' | 'no-part' | 'refused' | 'otherwise';
      };
    };

/**
 * Drives `start` and `decide` so that a job emits exactly these signals in this order, and invents everything that people
 * would supply: who they are, their instruments, serial numbers, texts, readings and reasons. The job stands where the way
 * ends; what would follow by itself after that is left out.
 */
export function replayWay(plan: Plan, way: readonly Signal[], options: ReplayOptions = {}): Replayed {
  const simulated = simulate(plan, way, options.stays);
  if (simulated.impossible !== undefined) {
    const after = simulated.impossible;
    return failed(
      after,
      `The job cannot go on with ${way[after]?.signal ?? 'this'} where it stands.`,
      'otherwise',
    );
  }
  const { unknowns, demands, controls } = simulated;
  const found = findValues(plan, unknowns, demands, options.mostTrials, (times) =>
    scheduled(plan, way, controls, times),
  );
  if ('fails' in found) {
    const { fails, isImpossible } = found;
    const why = isImpossible
      ? `No plausible readings bring it about that ${fails.says}.`
      : `No readings were found with which ${fails.says}.`;
    return failed(fails.signal, why, isImpossible ? 'no-values' : 'values-not-found');
  }
  const values = new Map<number, string>();
  const times: Passing[] = [];
  for (const { id, signal, span } of simulated.unknowns) {
    const typed = found.typed.get(id) ?? '';
    if (span === undefined) values.set(signal, typed);
    else times.push({ ...span, seconds: Number.parseFloat(typed) });
  }
  const due = times.length === 0 ? [] : scheduled(plan, way, simulated.controls, times);
  if (due === undefined) {
    const after = Math.max(...times.map((one) => one.to));
    return failed(after, 'No times were found that could pass together on this way.', 'values-not-found');
  }
  return new Replay(plan, way, simulated, { values, due }, options).run();
}

type Failure = Extract<Replayed, { failed: object }>;

const failed = (after: number, why: string, because: Failure['failed']['because']): Failure => ({
  failed: { after, why, because },
});

/** Calibrations hold for longer than any replayed job lasts. */
const DUE = '9999-12-31';
const REASON = 'As the way goes.';
/** Nobody works beside more people than these; a way that needs more is not replayed. */
const MOST_PEOPLE = 4;

class Replay {
  readonly #plan: Plan;
  readonly #way: readonly Signal[];
  readonly #simulated: Simulated;
  readonly #values: ReadonlyMap<number, string>;
  /** By signal, in seconds from the start; empty where it does not matter. */
  readonly #due: readonly number[];
  readonly #options: ReplayOptions;
  readonly #clock: ScriptClock;
  readonly #facts: Fact[] = [];
  readonly #factOf: number[] = [];
  readonly #texts = new Set<string>();
  #moves = 0;

  constructor(
    plan: Plan,
    way: readonly Signal[],
    simulated: Simulated,
    { values, due }: { readonly values: ReadonlyMap<number, string>; readonly due: readonly number[] },
    options: ReplayOptions,
  ) {
    this.#plan = plan;
    this.#way = way;
    this.#simulated = simulated;
    this.#values = values;
    this.#due = due;
    this.#options = options;
    this.#clock = new ScriptClock(options.startsAt ?? '2026-01-05T07:00:00Z');
  }

  get #isToStay(): boolean {
    return this.#options.stays !== undefined && this.#options.stays !== false;
  }

  run(): Replayed {
    const plan = this.#plan;
    const person = new ScriptedPerson(plan, {});
    const worker = person.worker();
    const begun = start(
      plan,
      {
        bundle: this.#options.bundle ?? 'sha256:0',
        persons: person.persons(),
        instruments: plan.instruments.map(({ id }) => ({ kind: id, identity: `${id} 1`, due: DUE })),
      },
      this.#occasion(worker),
    );
    if (begun.refusals !== undefined) return failed(0, textOf(begun.refusals), 'refused');
    let job = this.#took(undefined, begun.job, begun.facts);
    while (typeof job === 'object' && 'facts' in job && this.#factOf.length < this.#way.length) {
      const next = this.#factOf.length;
      const signal = this.#way[next];
      if (signal === undefined) break;
      const move = this.#move(job, signal, next);
      if (typeof move === 'string')
        return failed(next, move, signal.signal === 'identified' ? 'no-part' : 'refused');
      const done = this.#give(job, move, worker);
      if (done.refusals !== undefined) {
        const isPart = done.refusals.every((one) => one.code === 'identity-in-use');
        return failed(next, textOf(done.refusals), isPart ? 'no-part' : 'refused');
      }
      job = this.#took(done.before, done.job, done.facts);
    }
    if (!('facts' in job)) return job;
    return { job, facts: this.#facts, factOf: this.#factOf };
  }

  #occasion(by: string, at?: number): { readonly at: string; readonly by: string; readonly id: string } {
    if (at === undefined || !this.#clock.moveTo(at)) this.#clock.pass(secondsAMove(this.#plan));
    this.#moves += 1;
    return { at: this.#clock.now(), by, id: `r${this.#moves}` };
  }

  /** When the next signal of the way has to come about, in milliseconds since 1970, where that is not left open. */
  #nextDue(): number | undefined {
    const start = this.#facts[0]?.at;
    const due = this.#due[this.#factOf.length];
    return start === undefined || due === undefined ? undefined : Date.parse(start) + Math.round(due * 1000);
  }

  /** Holds the facts of a batch against the way. Those after its end do not count: the job is the one before them. */
  #took(before: Job | undefined, after: Job, facts: readonly Fact[]): Job | Failure {
    for (const [place, fact] of facts.entries()) {
      // What a strike means depends on the job before it, and a strike is the first to change anything.
      const signal =
        before === undefined && place === 0 ? undefined : signalOf(this.#plan, before ?? after, fact.fact);
      if (signal !== undefined) {
        const next = this.#factOf.length;
        const wanted = this.#way[next];
        if (wanted === undefined && this.#isToStay)
          return failed(next, `The job goes on from there by itself: ${signal.signal}.`, 'otherwise');
        if (wanted === undefined) return this.#folded(before, facts.slice(0, place), after);
        if (!sameSignal(signal, wanted))
          return failed(next, `Instead of ${wanted.signal} came ${signal.signal}.`, 'otherwise');
        this.#factOf.push(this.#facts.length);
      }
      this.#facts.push(fact);
    }
    return after;
  }

  #folded(before: Job | undefined, facts: readonly Fact[], after: Job): Job {
    let job = before;
    for (const fact of facts)
      job = job === undefined ? jobFrom(this.#plan, fact) : withFact(this.#plan, job, fact);
    return job ?? after;
  }

  /** Lets somebody give a command who may: people join until nobody else is to be found. */
  #give(
    from: Job,
    move: Move,
    worker: string,
  ):
    | {
        readonly before: Job;
        readonly job: Job;
        readonly facts: readonly Fact[];
        readonly refusals?: undefined;
      }
    | { readonly refusals: readonly Refusal[] } {
    const due = this.#nextDue();
    if (move.waits !== undefined && due === undefined) this.#clock.pass(move.waits);
    let job = from;
    const joined: Fact[] = [];
    let refusals: readonly Refusal[] = [];
    for (let tried = 0; tried <= MOST_PEOPLE; tried++) {
      for (const by of this.#people(job, move.role, worker)) {
        for (const command of move.commands(job, by)) {
          const decided = decide(this.#plan, job, command, this.#occasion(by, due), job.seq);
          if (decided.refusals !== undefined) {
            refusals = decided.refusals;
            continue;
          }
          const signal = decided.facts[0] && signalOf(this.#plan, job, decided.facts[0].fact);
          // Somebody else may bring about another release.
          if (signal !== undefined && !sameSignal(signal, move.signal)) continue;
          return { before: from, job: decided.job, facts: [...joined, ...decided.facts] };
        }
      }
      const role = move.together ?? move.role;
      const lacksSomebody = refusals.every((one) => aboutPeople.includes(one.code));
      if (role === undefined || tried === MOST_PEOPLE || !lacksSomebody) break;
      const person = `${role} ${String.fromCharCode(78 + tried)}`;
      const more = decide(
        this.#plan,
        job,
        { command: 'join', role, person },
        this.#occasion(worker),
        job.seq,
      );
      if (more.refusals !== undefined) return more;
      job = more.job;
      joined.push(...more.facts);
    }
    if (refusals.length > 0) return { refusals };
    const message = `Nobody's command leads to ${move.signal.signal} here.`;
    return { refusals: [{ code: 'not-offered', message, remedy: '' }] };
  }

  #people(job: Job, role: string | undefined, worker: string): readonly string[] {
    if (role === undefined) return [worker];
    return job.persons.filter((one) => one.role === role).map((one) => one.person);
  }

  /** What somebody does so that a signal comes, or why nobody can. */
  #move(job: Job, signal: Signal, place: number): Move | string {
    const { nodes } = this.#plan;
    const node = nodes[job.control.at];
    const step = node?.path ?? '';
    const plain = (command: Command, more: Partial<Move> = {}): Move => ({
      signal,
      commands: () => [command],
      ...more,
    });
    switch (signal.signal) {
      case 'started':
        return 'A job starts only once.';
      case 'acknowledged':
        return plain({ command: 'acknowledge', step });
      case 'done':
        return node?.node === 'step' ? this.#done(node, signal) : 'There is no step here.';
      case 'omitted': {
        const role = node?.node === 'step' ? node.notApplicable : undefined;
        return plain({ command: 'omit', step, reason: REASON }, role === undefined ? {} : { role });
      }
      case 'recorded': {
        const entry = this.#plan.entries[signal.entry];
        const isHeld = entry?.entry === 'reading' && entry.throughout !== undefined;
        const value = this.#values.get(place) ?? '';
        return plain({
          command: 'record',
          entry: entry?.name ?? '',
          value,
          ...(isHeld ? { held: true } : {}),
        });
      }
      case 'observed': {
        const entry = this.#plan.entries[signal.entry];
        const value = entry?.entry === 'observation' ? entry.answers[signal.answer]?.id : undefined;
        return plain({ command: 'record', entry: entry?.name ?? '', value: value ?? '' });
      }
      case 'identified': {
        const entry = this.#plan.entries[signal.entry];
        if (entry?.entry !== 'identity') return 'There is no serial number to write down here.';
        const value = this.#identity(job, entry, signal, place);
        if (value === undefined)
          return `For ${entry.title} no serial number is at hand that ${partWords[signal.part]}.`;
        return plain({ command: 'record', entry: entry.name, value, insist: true });
      }
      case 'witnessed':
        return plain(
          { command: 'witness', step },
          node?.node === 'step' && node.witness !== undefined ? { role: node.witness } : {},
        );
      case 'released': {
        const way = this.#plan.holds[job.control.hold]?.releases[signal.release];
        if (way === undefined) return 'There is no such way out of this hold.';
        return plain(
          { command: 'release', by: way.by, reason: REASON },
          way.role === undefined ? {} : { role: way.role },
        );
      }
      case 'struck': {
        const target = job.taken[signal.entry]?.seq;
        if (target === undefined) return 'There is nothing to strike.';
        return plain({ command: 'strike', target, reason: REASON, insist: true });
      }
      case 'undone': {
        const path = nodes[signal.node]?.path;
        const last = job.facts.findLast(
          ({ fact }) => (fact.kind === 'done' || fact.kind === 'referred') && fact.step === path,
        );
        if (last === undefined) return 'There is nothing to strike.';
        return plain({ command: 'strike', target: last.seq, reason: REASON, insist: true });
      }
      case 'parked':
        return plain({ command: 'park', reason: REASON });
      case 'resumed':
        return plain({
          command: 'resume',
          confirmed: (this.#plan.parking?.onResuming ?? []).map((one) => one.id),
        });
      case 'closed':
        return plain(signal.finished ? { command: 'close' } : { command: 'abandon', reason: REASON });
      case 'judged':
      case 'branched':
        return `Nothing that is recorded leads to it here: ${signal.signal}.`;
    }
  }

  #done(node: Extract<Plan['nodes'][number], { node: 'step' }>, signal: Signal): Move {
    const { act, together } = node;
    const command = {
      command: 'done',
      step: node.path,
      ...(act?.act === 'photograph' ? { photograph: scriptedPhotograph } : {}),
    } as const;
    return {
      signal,
      commands: (job, by) =>
        together === undefined
          ? [command]
          : job.persons
              .filter((one) => one.role === together && one.person !== by)
              .map((one) => ({ ...command, together: one.person })),
      ...(act?.act === 'wait' ? { waits: Math.ceil(act.time.value.toNumber()) } : {}),
      ...(together === undefined ? {} : { together }),
    };
  }

  /** A serial number that is the part that a signal says; undefined where there is none. */
  #identity(
    job: Job,
    entry: IdentityEntry,
    { part }: Extract<Signal, { signal: 'identified' }>,
    place: number,
  ): string | undefined {
    const { entries } = this.#plan;
    const foundAt = (one: Entry, index: number): string | undefined =>
      one.entry === 'identity' &&
      one.as === 'found' &&
      one.part === entry.part &&
      isLive(one, job.control.bytes) &&
      job.control.bytes[one.partCell] !== PART.unknown
        ? job.taken[index]?.text
        : undefined;
    if (part === 'own') {
      const index = entries.findIndex(
        (one) => one.entry === 'identity' && one.as === 'found' && one.place === entry.place,
      );
      const own = entries[index];
      return own === undefined ? undefined : (foundAt(own, index) ?? job.taken[index]?.text);
    }
    if (part === 'found' || part === 'renewed') return this.#unused(entry.shape);
    const fitted = new Set(
      entries.flatMap((one, index) =>
        one.entry === 'identity' &&
        one.as === 'fitted' &&
        one.place !== entry.place &&
        isLive(one, job.control.bytes)
          ? (job.taken[index]?.text ?? [])
          : [],
      ),
    );
    const others = entries.flatMap((one, index) => {
      const text = foundAt(one, index);
      if (one.entry !== 'identity' || one.place === entry.place || text === undefined) return [];
      return fitted.has(text) ? [] : [{ place: one.place, text }];
    });
    // A part that its own place will get back must not stand here then; one whose place gets another's next is best.
    const left = others.filter((one) => !this.#comesBack(entry, one.place, place));
    return (this.#soonest(left, place) ?? left[0] ?? others[0])?.text;
  }

  /** The place that is the next to get something else than its own part. */
  #soonest<Place extends { readonly place: string }>(
    places: readonly Place[],
    from: number,
  ): Place | undefined {
    for (const signal of this.#way.slice(from + 1)) {
      if (signal.signal !== 'identified' || signal.part === 'own') continue;
      const entry = this.#plan.entries[signal.entry];
      const found = places.find(
        (one) => entry?.entry === 'identity' && entry.as === 'fitted' && one.place === entry.place,
      );
      if (found !== undefined) return found;
    }
    return undefined;
  }

  /** Whether a place gets its own part back while what is written down here still counts. */
  #comesBack(entry: IdentityEntry, place: string, from: number): boolean {
    for (let next = from + 1; next < this.#way.length; next++) {
      const signal = this.#way[next];
      const control = this.#simulated.controls[next];
      if (signal === undefined || control === undefined || !isLive(entry, control.bytes)) return false;
      if (signal.signal !== 'identified') continue;
      const other = this.#plan.entries[signal.entry];
      if (other === entry) return false;
      if (other?.entry === 'identity' && other.place === place && signal.part === 'own') return true;
    }
    return false;
  }

  #unused(shape: Shape): string | undefined {
    const first = exampleOf(shape);
    for (let count = 0; count < 5000; count++) {
      const text = count === 0 ? first : counted(shape, count);
      if (this.#texts.has(text) || !hasShape(text, shape)) continue;
      this.#texts.add(text);
      return text;
    }
    return undefined;
  }
}

/** Refusals that another person may not get. */
const aboutPeople: readonly string[] = ['same-person', 'wrong-role', 'unknown-person', 'empty'];

interface Move {
  readonly signal: Signal;
  /** What can be said, in the order of trying. */
  readonly commands: (job: Job, by: string) => readonly Command[];
  /** Role of the one who says it; without one, the person who works. */
  readonly role?: string;
  /** Role of a second person. */
  readonly together?: string;
  /** Seconds that pass before. */
  readonly waits?: number;
}

type IdentityEntry = Extract<Entry, { entry: 'identity' }>;

const partWords = {
  found: 'fits its shape',
  own: 'is its own',
  other: 'belongs to another place',
  renewed: 'is new',
} as const;

const textOf = (refusals: readonly Refusal[]): string => refusals.map((one) => one.message).join(' ');

/** The text of a shape whose open places count up, the last one fastest. */
function counted(shape: Shape, number: number): string {
  let rest = number;
  const signs = [...shape.signs].reverse().map((one) => {
    if ('sign' in one) return one.sign;
    const base = one.any === 'digit' ? 10 : 26;
    const sign = one.any === 'digit' ? String(rest % 10) : String.fromCharCode(65 + (rest % 26));
    rest = Math.floor(rest / base);
    return sign;
  });
  return signs.reverse().join('');
}
