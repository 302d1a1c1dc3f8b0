import {
  type Answers,
  type Fact,
  type Job,
  type Pack,
  type Plan,
  referrals,
  type Trial,
  type written,
} from '@ferrule/engine';
import { idleAnswers, mergeAnswers } from './answers.ts';
import { tryPlaced } from './placed.ts';
import { runScript, type ScriptRun } from './run-script.ts';

/** How a trial came out: nothing failed, or what was expected and what was found instead. */
export interface TrialResult {
  readonly trial: string;
  readonly procedure: string;
  readonly variant: string;
  readonly says: string;
  readonly failures: readonly string[];
  readonly facts: readonly Fact[];
  /** Pointers of the laws and requirements that refused the act of a placed trial. */
  readonly refusedBy: readonly string[];
}

/** Runs one trial of a pack on its plan, and holds it against what it expects. */
export function runTrial(pack: Pack, name: string, trial: Trial, plan: Plan, bundle: string): TrialResult {
  const base = { trial: name, procedure: trial.procedure, variant: trial.variant, says: trial.says };
  const answers = answersOf(pack, trial);
  if (answers === undefined)
    return { ...base, failures: [`There is no trial ${trial.like} to be like.`], facts: [], refusedBy: [] };
  if (trial.placed !== undefined) return { ...base, ...tryPlaced(plan, trial, answers, bundle), facts: [] };
  const idle = idleAnswers(plan, trial.answers ?? {}).map(
    ({ section, name: idle, meant }) =>
      `Nothing asks for the answer ${idle} under ${section}.${meant === undefined ? '' : ` Did you mean ${meant}?`}`,
  );
  const facts: Fact[] = [];
  const run = runScript(plan, answers, {
    bundle,
    ...(trial.events === undefined ? {} : { events: trial.events }),
    onFacts: (batch) => facts.push(...batch),
  });
  const failures = [
    ...idle,
    ...run.missed,
    ...compare(trial.expect, run, placeOf(plan, run), facts),
    ...compareReferrals(trial.expect, plan, run.job),
  ];
  return { ...base, failures, facts, refusedBy: [] };
}

/** All answers of a script: those of the trials that it is like, and its own before them; undefined when one is not there. */
export function answersOf(pack: Pack, script: Pick<Trial, 'like' | 'answers'>): Answers | undefined {
  const inherited = inheritedAnswers(pack, script);
  return inherited === undefined ? undefined : mergeAnswers([...inherited, script.answers]);
}

/** The answers of the trials that a trial is like, the furthest first; undefined when one is not there, or in a circle. */
function inheritedAnswers(
  pack: Pack,
  trial: Pick<Trial, 'like'>,
): readonly (Answers | undefined)[] | undefined {
  const found: (Answers | undefined)[] = [];
  const seen = new Set<string>();
  for (let like = trial.like; like !== undefined; ) {
    const other: Trial | undefined = Object.hasOwn(pack.trials ?? {}, like) ? pack.trials?.[like] : undefined;
    if (other === undefined || seen.has(like)) return undefined;
    seen.add(like);
    found.unshift(other.answers);
    like = other.like;
  }
  return found;
}

function compare(
  expect: written.Expectation,
  { ended, hold, why, refusals = [] }: ScriptRun,
  place: string,
  facts: readonly Fact[],
): readonly string[] {
  const failures: string[] = [];
  const expected = (what: string, wanted: string, found: string): void => {
    if (wanted !== found) failures.push(`${what}: expected ${wanted}, found ${found}.`);
  };
  // A refusal at a hold that cannot be released that way leaves the job held.
  const outcome = ended === 'refused' && hold !== undefined && expect.outcome === 'held' ? 'held' : ended;
  if (outcome !== expect.outcome) {
    failures.push(
      `outcome: expected ${expect.outcome}, found ${outcome}${place}${why === undefined ? '' : ` (${why})`}.`,
    );
  }
  if (expect.hold !== undefined) expected('hold', expect.hold, hold ?? 'none');
  if (expect.refused !== undefined)
    expected('refused', expect.refused, refusals.map((one) => one.code).join(', ') || 'nothing');
  const holds = facts.flatMap((one) => (one.fact.kind === 'held' ? one.fact.hold : []));
  if (expect.holds !== undefined)
    expected('holds', expect.holds.join(', ') || 'none', holds.join(', ') || 'none');
  if (expect.reworks !== undefined) expected('reworks', expect.reworks, String(reworksIn(facts)));
  for (const [tolerance, wanted] of Object.entries(expect.verdicts ?? {})) {
    const list = typeof wanted === 'string' ? [wanted] : wanted;
    expected(`verdicts of ${tolerance}`, list.join(', '), verdictsOf(tolerance, facts).join(', ') || 'none');
  }
  return failures;
}

/** Where a job has ended that was not closed: at which hold and step. */
function placeOf(plan: Plan, { ended, hold, job }: ScriptRun): string {
  const path = ended === 'closed' || job === undefined ? undefined : plan.nodes[job.control.at]?.path;
  const held = hold === undefined ? '' : ` at the hold ${hold}`;
  return path === undefined ? held : `${held}${held === '' ? ' at' : ','} ${path}`;
}

/** Whether a job has led to what it was to lead to. */
function compareReferrals(expect: written.Expectation, plan: Plan, job: Job | undefined): readonly string[] {
  const wanted = expect['refers-to']?.join(', ');
  const led = job === undefined ? [] : referrals(plan, job);
  const found = led.map(({ pack, procedure }) => `${pack}/${procedure}`).join(', ');
  return wanted === undefined || wanted === found
    ? []
    : [`refers-to: expected ${wanted || 'nothing'}, found ${found || 'nothing'}.`];
}

/** How many reworks were begun by a verdict: nonconforming ones that no hold followed at once. */
function reworksIn(facts: readonly Fact[]): number {
  return facts.filter(
    (one, index) =>
      one.fact.kind === 'judged' &&
      one.fact.verdict.verdict !== 'conforming' &&
      facts[index + 1]?.fact.kind !== 'held',
  ).length;
}

function verdictsOf(tolerance: string, facts: readonly Fact[]): readonly string[] {
  return facts.flatMap(({ fact }) => {
    if (fact.kind !== 'judged') return [];
    const isIt =
      fact.of === tolerance ||
      fact.of.endsWith(`.${tolerance}`) ||
      bare(fact.of) === tolerance ||
      bare(fact.of).endsWith(`.${tolerance}`);
    return isIt ? [fact.verdict.verdict] : [];
  });
}

const bare = (name: string): string => name.split('@')[0] ?? name;
