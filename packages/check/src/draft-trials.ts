import {
  type Answers,
  advance,
  failing,
  type Pack,
  type Plan,
  reliedOn,
  resolve,
  type Signal,
  type Trial,
} from '@ferrule/engine';
import { mergeAnswers } from './answers.ts';
import type { Coverage, CoverageItem } from './coverage.ts';
import { borderValues } from './reach/boundary.ts';
import { draftLaw } from './reach/draft-law.ts';
import { type Mark, markOf } from './reach/mark.ts';
import { marksOfFacts } from './reach/marks-of-facts.ts';
import { parkingPointer, remediesOf } from './reach/marks-of-signal.ts';
import { itemsOfPlan, type PlanItem } from './reach/plan-items.ts';
import { answerName, type ScriptOfWay, scriptOfWay, sectionOf, withoutTail } from './reach/script-of-way.ts';
import { controlAfter, repeatedUntil, spelled, usualEnd } from './reach/spelled-way.ts';
import { type WaySignal, waysTo } from './reach/ways-to.ts';
import { replayWay } from './replay/replay-way.ts';
import { answersOf, runTrial, type TrialResult } from './run-trial.ts';

/** Trials that were drafted for what no trial reaches, and what none could be drafted for. */
export interface Drafts {
  readonly trials: Readonly<Record<string, Trial>>;
  readonly failed: readonly FailedDraft[];
}

export interface FailedDraft {
  readonly procedure: string;
  readonly variant: string;
  /** RFC 6901. */
  readonly pointer: string;
  /** What no trial does. */
  readonly unreached: string;
  readonly why: string;
}

/**
 * Drafts trials for what the coverage says is unreached. Each goes the most ordinary way there; what it must come to is
 * read off the plan, and it is kept only if it comes to that when it is run. Whether that is what a procedure should do is
 * for a person to say.
 */
export function draftTrials(
  pack: Pack,
  bundle: string,
  coverage: readonly Coverage[],
  results: readonly TrialResult[],
): Drafts {
  const trials: Record<string, Trial> = {};
  const failed: FailedDraft[] = [];
  for (const one of coverage) {
    const byVariant = new Map<string, Map<Mark, CoverageItem>>();
    for (const item of one.items) {
      if (item.standing !== 'unreached') continue;
      const variant = variantFor(item, one.procedure, results);
      const list = byVariant.get(variant) ?? new Map<Mark, CoverageItem>();
      byVariant.set(variant, list.set(item.mark, item));
    }
    for (const [variant, wanted] of byVariant) {
      const { plan } = resolve(pack, { procedure: one.procedure, variant });
      if (plan === undefined) continue;
      const taken = new Set([...Object.keys(pack.trials ?? {}), ...Object.keys(trials)]);
      const drafting = new Drafting(pack, bundle, plan, new Set(wanted.keys()), results, taken);
      drafting.run();
      Object.assign(trials, drafting.trials);
      failed.push(...drafting.failed);
    }
  }
  return { trials, failed };
}

/** The variant in which most trials run already, among those in which the item can be reached. */
function variantFor(item: CoverageItem, procedure: string, results: readonly TrialResult[]): string {
  const count = (variant: string): number =>
    results.filter((one) => one.procedure === procedure && one.variant === variant).length;
  const possible = item.variants.filter((one) => one.reachable);
  return possible.reduce(
    (best, one) => (count(one.variant) > count(best) ? one.variant : best),
    possible[0]?.variant ?? '',
  );
}

/** In which order drafts are made: what a later one reaches besides need not be drafted. */
const order: readonly PlanItem['kind'][] = [
  'outcome',
  'answer',
  'identity',
  'branch',
  'step',
  'rework',
  'exhausted',
  'hold',
  'release',
  'used-up',
  'omission',
  'strike',
  'parking',
  'law',
  'requirement',
];

/** Ways that are tried to one place. */
const MOST_WAYS = 4;

const nameOf = (at: number, signal: Signal): string => `${at} ${JSON.stringify(signal)}`;

type Base = { readonly name: string; readonly answers: Answers };

class Drafting {
  readonly trials: Record<string, Trial> = {};
  readonly failed: FailedDraft[] = [];
  readonly #pack: Pack;
  readonly #bundle: string;
  readonly #plan: Plan;
  readonly #wanted: Set<Mark>;
  readonly #items: ReadonlyMap<Mark, PlanItem>;
  readonly #taken: Set<string>;
  /** Signals that no readings bring about at their nodes. */
  readonly #impossible = new Set<string>();
  #base: Base | undefined;

  constructor(
    pack: Pack,
    bundle: string,
    plan: Plan,
    wanted: Set<Mark>,
    results: readonly TrialResult[],
    taken: Set<string>,
  ) {
    this.#pack = pack;
    this.#bundle = bundle;
    this.#plan = plan;
    this.#wanted = wanted;
    this.#items = itemsOfPlan(plan);
    this.#taken = taken;
    this.#base = this.#plainest(results);
  }

  run(): void {
    if (this.#base === undefined) this.#draftBase();
    const ordered = [...this.#items.values()]
      .filter((one) => this.#wanted.has(one.mark))
      .sort((a, b) => order.indexOf(a.kind) - order.indexOf(b.kind));
    const isOnWay = (one: PlanItem): boolean =>
      !['law', 'requirement', 'parking'].includes(one.kind) && !isOftenStruck(one);
    const marks = ordered.filter(isOnWay).map((one) => this.#leadsTo(one) ?? one.mark);
    const ways =
      marks.length === 0 ? new Map<Mark, readonly WaySignal[]>() : waysTo(this.#plan, new Set(marks));
    for (const item of ordered) {
      if (!this.#wanted.has(item.mark)) continue;
      if (item.kind === 'law' || item.kind === 'requirement') this.#draftPlaced(item);
      else if (item.kind === 'parking') this.#draftParking(item);
      else if (isOftenStruck(item)) this.#fail(item, 'drafts strike an entry once only');
      else this.#draftOnWay(item, ways);
    }
  }

  /** The passing trial with the least in it: others are written like it. */
  #plainest(results: readonly TrialResult[]): Base | undefined {
    const { procedure, variant } = this.#plan;
    let best: { readonly name: string; readonly weight: number } | undefined;
    for (const { trial, failures, facts, ...one } of results) {
      const last = facts.at(-1)?.fact;
      const isWhole = last?.kind === 'closed' && last.finished;
      if (one.procedure !== procedure.id || one.variant !== variant.id || failures.length > 0 || !isWhole)
        continue;
      if (this.#pack.trials?.[trial]?.events !== undefined) continue;
      const bad = facts.filter(({ fact }) => fact.kind === 'judged' && fact.verdict.verdict !== 'conforming');
      const weight = facts.length + 100 * bad.length;
      if (best === undefined || weight < best.weight) best = { name: trial, weight };
    }
    const trial = best === undefined ? undefined : this.#pack.trials?.[best.name];
    const answers = trial === undefined ? undefined : answersOf(this.#pack, trial);
    return best === undefined || answers === undefined ? undefined : { name: best.name, answers };
  }

  /** A trial in which everything is ordinary, where there is none yet. */
  #draftBase(): void {
    const signals = usualEnd(this.#plan, controlAfter(this.#plan, []));
    if (signals === undefined) return;
    const says = 'Draft, to be looked over by a person: everything is as it should be at the first try.';
    const made = this.#made('draft-all-in-order', says, signals, new Set(), undefined, true);
    if (made === undefined) return;
    const trial = this.trials[made];
    if (trial?.answers !== undefined && trial.expect.outcome === 'closed')
      this.#base = { name: made, answers: trial.answers };
  }

  /** For what is used up, the release that uses it up. */
  #leadsTo({ kind, pointer }: PlanItem): Mark | undefined {
    return kind === 'used-up' ? markOf('release', pointer.replace(/\/times$/, '')) : undefined;
  }

  #draftOnWay(item: PlanItem, ways: ReadonlyMap<Mark, readonly WaySignal[]>): void {
    const mark = this.#leadsTo(item) ?? item.mark;
    const allowed = (at: number, signal: Signal): boolean => !this.#impossible.has(nameOf(at, signal));
    const isGoable = (one: readonly WaySignal[] | undefined): boolean =>
      one?.every(({ at, signal }) => allowed(at, signal)) ?? true;
    const again = (): readonly WaySignal[] | undefined =>
      waysTo(this.#plan, new Set([mark]), allowed).get(mark);
    const known = ways.get(mark);
    let way = isGoable(known) ? known : again();
    let why: string | undefined;
    // What no readings bring about is gone around.
    for (let tries = 0; tries < MOST_WAYS && way !== undefined; tries++) {
      const before = this.#impossible.size;
      const failed = this.#draftAlong(item, way);
      if (failed === undefined) return;
      why ??= failed;
      if (this.#impossible.size === before) break;
      way = again();
    }
    this.#fail(item, why ?? 'no way there was found that readings could bring about');
  }

  /** Drafts a trial that goes a way. Answers why not. */
  #draftAlong(item: PlanItem, way: readonly WaySignal[]): string | undefined {
    const begun = spelled(this.#plan, way);
    if (begun === undefined) return 'the counts of its reworks do not let the way be gone';
    const repeats = this.#leadsTo(item) !== undefined;
    const there = repeats ? repeatedUntil(this.#plan, begun, item.mark) : begun;
    if (there === undefined) return 'doing the same again did not use it up';
    const before = controlAfter(this.#plan, there.slice(0, -1));
    const { at } = before;
    const rest = usualEnd(this.#plan, controlAfter(this.#plan, there));
    if (rest === undefined) return 'the job cannot go on from there';
    const made = this.#made(
      this.#nameFor(item),
      saysFor(item),
      [...there, ...rest],
      new Set([at]),
      item.mark,
    );
    if (made === undefined) return 'it did not come there when it was run';
    if (!(made in this.trials)) return made;
    this.#draftAtLimit(item, at, before, there);
    return undefined;
  }

  /** Where a limit that is missed is not measured again, what is exactly at it is tried by itself. */
  #draftAtLimit(
    item: PlanItem,
    node: number,
    before: ReturnType<typeof controlAfter>,
    there: readonly Signal[],
  ): void {
    const last = there.at(-1);
    const step = this.#plan.nodes[node];
    if (item.kind !== 'outcome' || last?.signal !== 'judged' || step?.node !== 'step') return;
    const { outcome } = last;
    if (outcome !== 'high' && outcome !== 'low') return;
    const remedy = remediesOf(step).find((one) => one.after.includes(outcome))?.remedy;
    if (remedy?.remedy === 'rework' && remedy.attempts > 1) return;
    const met: readonly Signal[] = [...there.slice(0, -1), { signal: 'judged', outcome: 'conforming' }];
    const rest = usualEnd(this.#plan, controlAfter(this.#plan, met));
    if (before.closed !== undefined || rest === undefined) return;
    const says = `Draft, to be looked over by a person: ${step.id} exactly at the limit on the ${outcome} side, which conforms.`;
    this.#made(
      `${this.#nameFor(item)}-at-the-limit`,
      says,
      [...met, ...rest],
      new Set([node]),
      undefined,
      false,
      {
        node,
        side: outcome,
      },
    );
  }

  /**
   * Makes a trial of a way, runs it and keeps it if it comes to what the way says. Answers its name; a reason with spaces
   * where it fails; undefined where it passes but does not reach the mark.
   */
  #made(
    name: string,
    says: string,
    signals: readonly Signal[],
    judgedAt: ReadonlySet<number>,
    mark: Mark | undefined,
    isBase = false,
    atLimit?: { readonly node: number; readonly side: 'high' | 'low' },
  ): string | undefined {
    const plan = this.#plan;
    const replayed = replayWay(plan, signals, { bundle: this.#bundle });
    if (replayed.failed !== undefined) {
      const { after, why, because } = replayed.failed;
      const signal = signals[after];
      if (because === 'no-values' && signal !== undefined)
        this.#impossible.add(nameOf(controlAfter(plan, signals.slice(0, after)).at, signal));
      return why;
    }
    const script = scriptOfWay(plan, signals, replayed, judgedAt);
    const borders = borderValues(plan, signals, atLimit);
    const attempts = [
      ...(isBase || this.#base === undefined ? [] : [this.#likeBase(script, borders, atLimit)]),
      this.#whole(script, borders),
      this.#whole(script, new Map()),
    ];
    let why: string | undefined;
    for (const answers of attempts) {
      const trial: Trial = {
        says,
        procedure: plan.procedure.id,
        variant: plan.variant.id,
        ...answers,
        ...(script.events.length === 0 ? {} : { events: script.events }),
        expect: isBase
          ? { outcome: script.expect.outcome, holds: script.expect.holds ?? [], reworks: '0' }
          : script.expect,
      };
      const kept = this.#keep(name, trial, mark);
      if (typeof kept === 'string') return kept;
      why ??= kept.why;
    }
    return why;
  }

  #keep(name: string, trial: Trial, mark: Mark | undefined): string | { readonly why: string | undefined } {
    const pack = { ...this.#pack, trials: { ...this.#pack.trials, ...this.trials } };
    const result = runTrial(pack, name, trial, this.#plan, this.#bundle);
    if (result.failures.length > 0)
      return { why: `run, it does not come to what the plan says: ${result.failures.join(' ')}` };
    const marks = marksOfFacts(this.#plan, result.facts);
    if (mark !== undefined && !marks.has(mark)) return { why: undefined };
    for (const reached of marks) this.#wanted.delete(reached);
    this.trials[name] = trial;
    this.#taken.add(name);
    return name;
  }

  /** Only what differs from the plainest trial. */
  #likeBase(
    script: ScriptOfWay,
    borders: ReturnType<typeof borderValues>,
    atLimit: { readonly node: number } | undefined,
  ): Pick<Trial, 'like' | 'answers'> {
    const limited = new Set(atLimit === undefined ? [] : this.#entriesJudgedAt(atLimit.node));
    const answers = this.#answers(script, borders, (name) => script.unusual.has(name) || limited.has(name));
    return {
      ...(this.#base === undefined ? {} : { like: this.#base.name }),
      ...(Object.keys(answers).length === 0 ? {} : { answers }),
    };
  }

  #entriesJudgedAt(node: number): readonly string[] {
    const step = this.#plan.nodes[node];
    if (step?.node !== 'step') return [];
    return reliedOn(this.#plan, step.check).flatMap((index) => {
      const entry = this.#plan.entries[index];
      return entry === undefined ? [] : answerName(entry);
    });
  }

  #whole(script: ScriptOfWay, borders: ReturnType<typeof borderValues>): Pick<Trial, 'answers'> {
    const plan = this.#plan;
    const instruments = Object.fromEntries(
      plan.instruments.map(({ id, calibrated }) => [
        id,
        { identity: `${id} 1`, ...(calibrated ? { due: '2099-12-31' } : {}) },
      ]),
    );
    const answers = this.#answers(script, borders, () => true);
    return { answers: mergeAnswers([{ instruments }, answers]) };
  }

  #answers(
    { taken, releases, unusual }: ScriptOfWay,
    borders: ReturnType<typeof borderValues>,
    isSaid: (name: string) => boolean,
  ): Answers {
    const answers: Record<string, Record<string, string | readonly string[]>> = {};
    for (const [index, entry] of this.#plan.entries.entries()) {
      const name = answerName(entry);
      const section = sectionOf(entry);
      const values = taken[section].get(name);
      // The first answer that conforms is given without being asked for.
      const isSilent = section === 'observations' && !unusual.has(name);
      if (values === undefined || !isSaid(name) || isSilent) continue;
      const border = borders.get(index);
      // A way takes a reading that is repeated with one value each time: the list has it as often.
      const times = entry.entry === 'reading' ? (entry.repeats?.times ?? 1) : 1;
      const all = values.map((one, place) => border?.[Math.floor(place / times)] ?? one);
      answers[section] = { ...answers[section], [name]: withoutTail(all) };
    }
    return {
      ...mergeAnswers([answers]),
      ...(Object.keys(releases).length === 0 ? {} : { releases }),
    };
  }

  #draftPlaced(item: PlanItem): void {
    const name = this.#nameFor(item);
    const found = draftLaw(this.#plan, item, saysFor(item), this.#base?.name, (trial) => {
      const pack = { ...this.#pack, trials: { ...this.#pack.trials, ...this.trials } };
      const { failures, refusedBy } = runTrial(pack, name, trial, this.#plan, this.#bundle);
      return failures.length === 0 && refusedBy.includes(item.pointer);
    });
    if (found === undefined) return this.#fail(item, 'no states were found in which it refuses an act');
    this.trials[name] = found;
    this.#taken.add(name);
    this.#wanted.delete(item.mark);
  }

  #draftParking(item: PlanItem): void {
    const mark = markOf('parking', parkingPointer(this.#plan), 'parked');
    const way = parkableWay(this.#plan);
    if (way === undefined)
      return this.#fail(item, 'the ordinary way never comes to where the job can be parked');
    const rest = usualEnd(this.#plan, controlAfter(this.#plan, way));
    if (rest === undefined) return this.#fail(item, 'the job cannot go on from there');
    const signals: readonly Signal[] = [...way, { signal: 'parked' }, { signal: 'resumed' }, ...rest];
    const made = this.#made(this.#nameFor(item), saysFor(item), signals, new Set(), mark);
    if (made === undefined || !(made in this.trials))
      this.#fail(item, made ?? 'it was not parked when it was run');
  }

  #fail({ pointer, unreached }: PlanItem, why: string): void {
    const { procedure, variant } = this.#plan;
    this.failed.push({ procedure: procedure.id, variant: variant.id, pointer, unreached, why });
  }

  #nameFor(item: PlanItem): string {
    const words = `draft ${item.unreached.replace(/^no trial /, '')}`.toLowerCase();
    const slug = words
      .replace(/['’]/g, '')
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-|-$/g, '')
      .slice(0, LONGEST_NAME)
      .replace(/-[^-]*$/, (tail) => (words.length > LONGEST_NAME ? '' : tail));
    let name = slug;
    for (let number = 2; this.#taken.has(name); number++) name = `${slug}-${number}`;
    return name;
  }
}

/** A name has 64 characters at most; what tells drafts apart is put behind it. */
const LONGEST_NAME = 46;

const isOftenStruck = ({ pointer }: PlanItem): boolean => pointer.endsWith('/if-struck/attempts');

const saysFor = ({ unreached }: PlanItem): string =>
  `Draft, to be looked over by a person: a job that ${unreached.replace(/^no trial /, '')}.`;

/** The ordinary way as far as where the job can be parked, beyond its preliminary requirements. */
function parkableWay(plan: Plan): readonly Signal[] | undefined {
  const all = usualEnd(plan, controlAfter(plan, []));
  if (all === undefined || plan.parking === undefined) return undefined;
  const first = plan.nodes.find((node) => node.path === 'preliminary')?.end ?? 0;
  let control = controlAfter(plan, []);
  for (const [place, signal] of all.entries()) {
    const isOpen = control.at >= first && control.hold < 0;
    if (isOpen && failing([plan.parking.guard], control.bytes).length === 0) return all.slice(0, place);
    control = advance(plan, control, signal);
  }
  return undefined;
}
