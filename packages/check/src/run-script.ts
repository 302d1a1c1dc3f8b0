import {
  type Answers,
  type Command,
  decide,
  type Fact,
  type InstrumentUsed,
  type Job,
  type Occasion,
  type Origin,
  offers,
  PHASE,
  type Plan,
  parseQuantity,
  progressOf,
  type Refusal,
  start,
  type written,
} from '@ferrule/engine';
import { ScriptClock, secondsAMove } from './clock.ts';
import { saysNoStep } from './says-no-step.ts';
import { ScriptedPerson } from './scripted-person.ts';

type TrialEvent = written.TrialEvent;

export interface ScriptOptions {
  readonly bundle: string;
  readonly events?: readonly TrialEvent[];
  /** RFC 3339; the clock moves by itself from there. */
  readonly startsAt?: string;
  /** Only persons whom the answers name take part; otherwise a role without an answer is filled by an invented one. */
  readonly onlyNamed?: boolean;
  /** What the records hand on that the answers name, each under the path that is written there. */
  readonly origins?: ReadonlyMap<string, Origin>;
  /** Stops before the next move as soon as this says so. */
  readonly until?: (job: Job) => boolean;
  /** Called with each batch of facts before it counts as taken, for a log or a store. */
  readonly onFacts?: (facts: readonly Fact[], job: Job) => void;
}

/** How a scripted job went. */
export interface ScriptRun {
  readonly job?: Job;
  readonly ended: 'closed' | 'held' | 'stuck' | 'refused' | 'stopped';
  readonly hold?: string;
  readonly why?: string;
  readonly refusals?: readonly Refusal[];
  /** Events that never came about, or that went otherwise than they say. */
  readonly missed: readonly string[];
}

/** No job asks for more; a script that goes round for ever ends here. */
const MOST_MOVES = 100_000;

/** Runs a job with a scripted person, who also brings about the stated events. */
export function runScript(plan: Plan, answers: Answers, options: ScriptOptions): ScriptRun {
  const person = new ScriptedPerson(plan, answers, options.onlyNamed, options.origins);
  const clock = new ScriptClock(options.startsAt ?? '2026-01-05T07:00:00Z');
  const events = new Events(plan, options.events ?? []);
  let moves = 0;
  const occasion = (by: string): Occasion => {
    clock.pass(secondsAMove(plan));
    moves += 1;
    return { at: clock.now(), by, id: `s${moves}` };
  };
  const request = { bundle: options.bundle, persons: person.persons(), instruments: person.instruments() };
  const started = start(plan, request, occasion(person.worker()));
  if (started.refusals !== undefined) {
    return {
      ended: 'refused',
      refusals: started.refusals,
      missed: [],
      why: started.refusals[0]?.message ?? '',
    };
  }
  let job = started.job;
  options.onFacts?.(started.facts, job);
  const give = (command: Command, by: string): readonly Refusal[] => {
    const decided = decide(plan, job, command, occasion(by), job.seq);
    if (decided.refusals !== undefined) return decided.refusals;
    job = decided.job;
    options.onFacts?.(decided.facts, job);
    return [];
  };
  while (moves < MOST_MOVES) {
    if (options.until?.(job) === true) return { job, ended: 'stopped', missed: events.missed() };
    const event = events.due(job);
    if (event !== undefined) {
      if (event.later !== undefined) clock.pass(secondsOf(event.later));
      if (onlyPasses(event)) {
        events.passed(event);
        continue;
      }
      events.happened(event, commandOf(event, job, plan, clock.now()), (command) =>
        give(command, personFor(roleOf(event, job, plan, clock.now()), person)),
      );
      continue;
    }
    const move = person.move(job, offers(plan, job), clock.in(secondsAMove(plan)));
    if ('ends' in move) {
      const missed = events.missed();
      if (move.ends === 'closed') return { job, ended: 'closed', missed };
      if (move.ends === 'held') return { job, ended: 'held', hold: move.hold, missed };
      return { job, ended: 'stuck', why: move.why, missed };
    }
    if (move.waits !== undefined) clock.pass(move.waits);
    let refusals = give(move.command, move.by);
    if (refusals[0]?.code === 'unexpected-identity' && move.command.command === 'record') {
      // The script says that this part really is in hand.
      refusals = give({ ...move.command, insist: true }, move.by);
    }
    if (refusals.length > 0) {
      const hold = offers(plan, job).hold?.id;
      return {
        job,
        ended: 'refused',
        refusals,
        missed: events.missed(),
        why: refusals[0]?.message ?? '',
        ...(hold === undefined ? {} : { hold }),
      };
    }
    person.taken(move.command);
  }
  return { job, ended: 'stuck', why: `The script goes on after ${MOST_MOVES} moves.`, missed: [] };
}

/** Whether an event is that time passes, and nothing else. */
const onlyPasses = (event: TrialEvent): boolean =>
  event.later !== undefined &&
  [event.strike, event.park, event.note, event['not-applicable'], event.allow, event.answer].every(
    (one) => one === undefined,
  );

/** Seconds of a time as it is written; nothing for what is no time. */
function secondsOf(text: string): number {
  const read = parseQuantity(text, 'time');
  return 'quantity' in read ? read.quantity.value.toNumber() : 0;
}

const personFor = (role: string | undefined, person: ScriptedPerson): string =>
  person.persons().find((one) => one.role === role)?.person ?? person.worker();

/** The role that an event is for; none where whoever does the work brings it about. */
function roleOf(event: TrialEvent, job: Job, plan: Plan, at: string): string | undefined {
  const node = plan.nodes[job.control.at];
  if (event['not-applicable'] !== undefined) return node?.node === 'step' ? node.notApplicable : undefined;
  const kind = plan.instruments.find((one) => one.id === event.allow);
  return isOverdue(event, job, at) ? kind?.overdueBy : kind?.beyondRangeBy;
}

const allowedIn = ({ allow }: TrialEvent, job: Job): InstrumentUsed | undefined =>
  job.instruments.findLast((one) => one.kind === allow);

/** Whether the instrument that an event allows is out of date; otherwise it is allowed beyond its range. */
const isOverdue = (event: TrialEvent, job: Job, at: string): boolean =>
  (allowedIn(event, job)?.due ?? at) < at.slice(0, 10);

/** What an event asks of the job; undefined when there is nothing to ask it about. */
function commandOf(event: TrialEvent, job: Job, plan: Plan, at: string): Command | undefined {
  const step = plan.nodes[job.control.at]?.path ?? '';
  if (event.strike !== undefined) {
    const index = plan.entries.findIndex(
      (one) => one.name === event.strike || one.name.endsWith(`.${event.strike}`),
    );
    const target = job.taken[index]?.seq;
    return target === undefined
      ? undefined
      : { command: 'strike', target, reason: event.because ?? 'As the script says.' };
  }
  if (event.park !== undefined) return { command: 'park', reason: event.park };
  if (event.note !== undefined) return { command: 'note', text: event.note };
  if (event['not-applicable'] !== undefined)
    return { command: 'omit', step, reason: event['not-applicable'] };
  if (event.allow !== undefined) {
    const instrument = allowedIn(event, job)?.identity;
    const because = isOverdue(event, job, at) ? 'instrument-overdue' : 'beyond-instrument';
    const reason = event.because ?? 'As the script says.';
    return instrument === undefined ? undefined : { command: 'allow', instrument, because, reason };
  }
  if (event.answer === undefined) return undefined;
  const open = offers(plan, job).offers.find((one) => one.offer === 'record');
  return open?.offer === 'record' ? { command: 'record', entry: open.entry, value: event.answer } : undefined;
}

/** The events of a script, each due once, when its step is offered for the stated time. */
class Events {
  readonly #plan: Plan;
  readonly #waiting: Set<TrialEvent>;
  readonly #faults: string[] = [];
  readonly #visits = new Map<number, number>();
  #at = -1;
  #phase = 0;

  constructor(plan: Plan, events: readonly TrialEvent[]) {
    this.#plan = plan;
    this.#waiting = new Set(events);
  }

  due(job: Job): TrialEvent | undefined {
    const { control } = job;
    if (this.#waiting.size === 0 || control.parked || control.closed !== undefined) return undefined;
    const node = this.#plan.nodes[control.at];
    if (node === undefined) return undefined;
    const phase = progressOf(this.#plan, control, control.at);
    if (control.at !== this.#at || phase < this.#phase) {
      this.#visits.set(control.at, (this.#visits.get(control.at) ?? 0) + 1);
    }
    this.#at = control.at;
    this.#phase = phase;
    for (const event of this.#waiting) {
      if (!isAt(node.path, event.at) || (this.#visits.get(control.at) ?? 0) < Number(event.visit ?? 1))
        continue;
      // A wrong answer needs the step to ask for one, and an instrument is allowed where it is to be used.
      if ((event.answer ?? event.allow) !== undefined && phase !== PHASE.entries) continue;
      return event;
    }
    return undefined;
  }

  passed(event: TrialEvent): void {
    this.#waiting.delete(event);
  }

  happened(
    event: TrialEvent,
    command: Command | undefined,
    give: (command: Command) => readonly Refusal[],
  ): void {
    this.#waiting.delete(event);
    if (command === undefined) {
      this.#faults.push(`At ${event.at} there was nothing for the event to act on.`);
      return;
    }
    const refusals = give(command);
    const found = refusals.map((one) => one.code);
    if (event.refused === undefined && event.answer === undefined && found.length > 0) {
      this.#faults.push(`At ${event.at} the event was refused: ${refusals[0]?.message ?? ''}`);
    } else if (event.refused !== undefined && !found.includes(event.refused)) {
      const instead = found.length === 0 ? 'it was taken' : `it was refused as ${found.join(', ')}`;
      this.#faults.push(`At ${event.at} the event was to be refused as ${event.refused}; ${instead}.`);
    } else if (event.answer !== undefined && event.refused === undefined && found.length === 0) {
      this.#faults.push(`At ${event.at} the answer was to be refused, and it was taken.`);
    }
  }

  missed(): readonly string[] {
    return [
      ...this.#faults,
      ...[...this.#waiting].map((event) =>
        this.#plan.nodes.some((node) => isAt(node.path, event.at))
          ? `The event at ${event.at} never came about.`
          : saysNoStep(this.#plan.nodes, event.at),
      ),
    ];
  }
}

/** Whether a path is meant by what a script wrote of it: the end of it is enough. */
const isAt = (path: string, written: string): boolean => path === written || path.endsWith(`/${written}`);
