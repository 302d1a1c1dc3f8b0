import {
  type Answers,
  type Control,
  type Entry,
  type Fact,
  type Plan,
  progressOf,
  type Signal,
  startControl,
  type written,
} from '@ferrule/engine';
import { answerNames } from '../answers.ts';
import { secondsAMove } from '../clock.ts';
import { followsByItself } from '../replay/spans.ts';
import { marksOfSignal } from './marks-of-signal.ts';

type Section = 'readings' | 'observations' | 'identities' | 'fields';

/** What a scripted person has to answer for a job to go a way, and what else has to happen. */
export interface ScriptOfWay {
  /** By section and name: everything that was taken, in order. */
  readonly taken: Readonly<Record<Section, ReadonlyMap<string, readonly string[]>>>;
  readonly releases: NonNullable<Answers['releases']>;
  readonly events: readonly written.TrialEvent[];
  readonly expect: written.Expectation;
  /** Entries and parts about which something is out of the ordinary, by the name that answers know them by. */
  readonly unusual: ReadonlySet<string>;
}

const sections = {
  reading: 'readings',
  observation: 'observations',
  identity: 'identities',
  field: 'fields',
} as const;

/** The name by which answers know an entry most exactly. */
export const answerName = (entry: Entry): string => answerNames(entry)[0] ?? entry.name;

/** The section of answers that an entry is answered in. */
export const sectionOf = (entry: Entry): Section => sections[entry.entry];

/**
 * The script of a way. Values come from the facts of a job that went it; what it must come to is read off the way itself
 * by `advance`, which knows no values.
 */
export function scriptOfWay(
  plan: Plan,
  signals: readonly Signal[],
  { facts, factOf }: { readonly facts: readonly Fact[]; readonly factOf: readonly number[] },
  judgedAt: ReadonlySet<number>,
): ScriptOfWay {
  const told = new Told(plan, judgedAt);
  let last = facts[0]?.at;
  for (const [place, signal] of signals.entries()) {
    const at = facts[factOf[place] ?? -1]?.at;
    told.follow(
      signal,
      last === undefined || at === undefined ? 0 : (Date.parse(at) - Date.parse(last)) / 1000,
    );
    last = at ?? last;
  }
  return {
    taken: takenIn(plan, facts),
    releases: releasesIn(facts),
    events: told.events,
    expect: told.expectation(),
    unusual: told.unusual,
  };
}

function takenIn(plan: Plan, facts: readonly Fact[]): ScriptOfWay['taken'] {
  const taken = {
    readings: new Map<string, string[]>(),
    observations: new Map<string, string[]>(),
    identities: new Map<string, string[]>(),
    fields: new Map<string, string[]>(),
  };
  const byName = new Map(plan.entries.map((entry) => [entry.name, entry]));
  for (const { fact } of facts) {
    const value =
      fact.kind === 'reading'
        ? fact.typed
        : fact.kind === 'observed'
          ? fact.answer
          : fact.kind === 'filled'
            ? fact.text
            : fact.kind === 'identified'
              ? fact.identity
              : undefined;
    const entry = 'entry' in fact && fact.entry !== undefined ? byName.get(fact.entry) : undefined;
    if (value === undefined || entry === undefined) continue;
    const list = taken[sectionOf(entry)];
    list.set(answerName(entry), [...(list.get(answerName(entry)) ?? []), value]);
  }
  return taken;
}

function releasesIn(facts: readonly Fact[]): NonNullable<Answers['releases']> {
  const found: Record<string, { by: 'concession' | 'rework' | 'witness' }[]> = {};
  for (const { fact } of facts) {
    if (fact.kind !== 'released') continue;
    const list = found[fact.hold] ?? [];
    found[fact.hold] = list;
    if (list.at(-1)?.by !== fact.by) list.push({ by: fact.by });
  }
  return Object.fromEntries(
    Object.entries(found).map(([hold, list]) => [
      hold,
      list.length === 1 && list[0] !== undefined ? list[0] : list,
    ]),
  );
}

/** Follows a way and tells what happens on it. */
class Told {
  readonly events: written.TrialEvent[] = [];
  readonly unusual = new Set<string>();
  readonly #plan: Plan;
  readonly #judgedAt: ReadonlySet<number>;
  readonly #visits = new Map<number, number>();
  readonly #holds: string[] = [];
  readonly #verdicts = new Map<string, string[]>();
  #control: Control;
  #reworks = 0;
  #at = -1;
  #phase = 0;

  constructor(plan: Plan, judgedAt: ReadonlySet<number>) {
    this.#plan = plan;
    this.#judgedAt = judgedAt;
    this.#control = startControl(plan);
  }

  /** `seconds` have passed since the signal before. */
  follow(signal: Signal, seconds: number): void {
    const plan = this.#plan;
    const control = this.#control;
    this.#visit(control);
    const node = plan.nodes[control.at];
    const at = node?.path ?? '';
    const visits = this.#visits.get(control.at) ?? 1;
    const visit = visits === 1 ? {} : { visit: String(visits) };
    const act = node?.node === 'step' && signal.signal === 'done' ? node.act : undefined;
    const wait = act?.act === 'wait' ? Math.ceil(act.time.value.toNumber()) : 0;
    const idle = seconds - wait - secondsAMove(plan);
    if (plan.elapsed.length > 0 && !followsByItself(signal) && idle > 0)
      this.events.push({ at, ...visit, later: `${idle} s` });
    switch (signal.signal) {
      case 'omitted':
        this.events.push({ at, ...visit, 'not-applicable': 'It is not there on this engine.' });
        break;
      case 'struck': {
        const strike = plan.entries[signal.entry]?.name ?? '';
        this.events.push({ at, ...visit, strike, because: 'The wrong value was written down.' });
        break;
      }
      case 'parked':
        this.events.push({ at, ...visit, park: 'End of the working day.' });
        break;
      case 'observed':
      case 'identified': {
        const entry = plan.entries[signal.entry];
        const isUsual =
          signal.signal === 'identified'
            ? signal.part === 'found' || signal.part === 'own'
            : entry?.entry === 'observation' &&
              entry.answers.findIndex((one) => one.conforming) === signal.answer;
        if (entry !== undefined && !isUsual) this.unusual.add(answerName(entry));
        break;
      }
      case 'branched':
        for (const { entries } of plan.conditions) this.#markUnusual(entries);
        break;
      case 'judged':
        this.#judge(signal.outcome);
        break;
      default:
        break;
    }
    const { after } = marksOfSignal(plan, control, signal);
    const opened = after.hold >= 0 && after.hold !== control.hold ? plan.holds[after.hold]?.id : undefined;
    if (opened !== undefined) this.#holds.push(opened);
    if (signal.signal === 'judged' && signal.outcome !== 'conforming' && opened === undefined)
      this.#reworks += 1;
    this.#control = after;
  }

  expectation(): written.Expectation {
    const { hold, closed } = this.#control;
    const held = this.#plan.holds[hold]?.id;
    const verdicts = Object.fromEntries([...this.#verdicts].map(([name, all]) => [name, shortened(all)]));
    return {
      outcome: closed === undefined ? 'held' : 'closed',
      ...(closed === undefined && held !== undefined ? { hold: held } : {}),
      holds: this.#holds,
      reworks: String(this.#reworks),
      ...(this.#verdicts.size === 0 ? {} : { verdicts }),
    };
  }

  #judge(outcome: string): void {
    const node = this.#plan.nodes[this.#control.at];
    if (node?.node !== 'step') return;
    const { check } = node;
    const judged =
      check?.check === 'tolerance'
        ? this.#plan.tolerances[check.tolerance]
        : check?.check === 'stock'
          ? this.#plan.selections[check.selection]
          : undefined;
    if (judged === undefined) return;
    if (outcome !== 'conforming') this.#markUnusual(judged.entries);
    if (!this.#judgedAt.has(node.index)) return;
    const word = outcome === 'high' || outcome === 'low' ? 'nonconforming' : outcome;
    this.#verdicts.set(judged.name, [...(this.#verdicts.get(judged.name) ?? []), word]);
  }

  #markUnusual(entries: readonly number[]): void {
    for (const index of entries) {
      const entry = this.#plan.entries[index];
      if (entry !== undefined) this.unusual.add(answerName(entry));
    }
  }

  /** Counts as a script counts: a step is offered anew when the job comes to it, or begins it again. */
  #visit(control: Control): void {
    if (control.parked) return;
    const phase = progressOf(this.#plan, control, control.at);
    if (control.at !== this.#at || phase < this.#phase)
      this.#visits.set(control.at, (this.#visits.get(control.at) ?? 0) + 1);
    this.#at = control.at;
    this.#phase = phase;
  }
}

/** One text, or the list: the last item of a list is given again and again. */
function shortened(all: readonly string[]): string | string[] {
  const [only] = all;
  return all.length === 1 && only !== undefined ? only : [...all];
}

/** A list of answers without the repetitions at its end. */
export function withoutTail(all: readonly string[]): string | string[] {
  let end = all.length;
  while (end > 1 && all[end - 1] === all[end - 2]) end -= 1;
  return shortened(all.slice(0, end));
}
