import {
  type Command,
  type InstrumentUsed,
  type Job,
  offers,
  PHASE,
  type Plan,
  parseQuantity,
  progressOf,
  type Refusal,
  type written,
} from '@ferrule/engine';
import { saysNoStep } from './says-no-step.ts';
import type { ScriptedPerson } from './scripted-person.ts';

type TrialEvent = written.TrialEvent;

/** Whether an event is that time passes, and nothing else. */
export const isOnlyTime = (event: TrialEvent): boolean =>
  event.later !== undefined &&
  [event.strike, event.park, event.note, event['not-applicable'], event.allow, event.answer].every(
    (one) => one === undefined,
  );

/** Seconds that pass before an event comes about; none for what is no time. */
export function secondsBefore({ later }: TrialEvent): number {
  const read = later === undefined ? undefined : parseQuantity(later, 'time');
  return read !== undefined && 'quantity' in read ? read.quantity.value.toNumber() : 0;
}

/** Who brings an event about: whoever has the role that it is for, or else does the work. */
export function eventPerson(
  event: TrialEvent,
  job: Job,
  plan: Plan,
  at: string,
  person: ScriptedPerson,
): string {
  const role = roleOf(event, job, plan, at);
  return person.persons().find((one) => one.role === role)?.person ?? person.worker();
}

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
export function eventCommand(event: TrialEvent, job: Job, plan: Plan, at: string): Command | undefined {
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
export class ScriptEvents {
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

  /** The event that is due now, if one is. */
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

  /** Nothing but time was to pass, and has passed. */
  passed(event: TrialEvent): void {
    this.#waiting.delete(event);
  }

  /** An event came about, and was refused for these reasons; undefined when there was nothing for it to act on. */
  happened(event: TrialEvent, refusals: readonly Refusal[] | undefined): void {
    this.#waiting.delete(event);
    if (refusals === undefined) {
      this.#faults.push(`At ${event.at} there was nothing for the event to act on.`);
      return;
    }
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

  /** What never came about, or went otherwise than it says. */
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
