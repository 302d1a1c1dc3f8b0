import {
  type Answers,
  type Command,
  decide,
  type Fact,
  type Job,
  type Occasion,
  type Origin,
  offers,
  type Plan,
  type Refusal,
  start,
  type written,
} from '@ferrule/engine';
import { ScriptClock, secondsAMove } from './clock.ts';
import { eventCommand, eventPerson, isOnlyTime, ScriptEvents, secondsBefore } from './script-events.ts';
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
  const events = new ScriptEvents(plan, options.events ?? []);
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
      clock.pass(secondsBefore(event));
      if (isOnlyTime(event)) {
        events.passed(event);
        continue;
      }
      const command = eventCommand(event, job, plan, clock.now());
      const by = eventPerson(event, job, plan, clock.now(), person);
      events.happened(event, command && give(command, by));
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
