import { type Answers, type Entry, nearest, type Plan } from '@ferrule/engine';

const answerSections = [
  'persons',
  'instruments',
  'readings',
  'carried',
  'observations',
  'identities',
  'fields',
  'held',
  'releases',
] as const;

/** Answers of several sources, the later ones before the earlier: what a trial adds to the one that it is like. */
export function mergeAnswers(all: readonly (Answers | undefined)[]): Answers {
  const merged: Record<string, Record<string, unknown>> = {};
  for (const answers of all) {
    for (const section of answerSections) {
      const given = answers?.[section];
      if (given !== undefined) merged[section] = { ...merged[section], ...given };
    }
  }
  return merged as Answers;
}

/** The names under which an answer for an entry may stand, the most exact first: `fit.gap@3`, `fit.gap`, `gap@3`, `gap`. */
export function answerNames(entry: Entry): readonly string[] {
  const full = entry.entry === 'identity' ? entry.place : entry.name;
  const names: string[] = [];
  for (let path = full; ; path = path.slice(path.indexOf('.') + 1)) {
    names.push(path);
    const bare = path.split('@')[0] ?? path;
    if (bare !== path) names.push(bare);
    if (!bare.includes('.')) return names;
  }
}

const entrySections = {
  reading: 'readings',
  observation: 'observations',
  identity: 'identities',
  field: 'fields',
} as const;

/** An answer that nothing in a plan asks for, and the name that was probably meant. */
export interface IdleAnswer {
  readonly section: keyof Answers;
  readonly name: string;
  readonly meant?: string;
}

/** The names under which a plan asks for answers. */
type KnownAnswers = Readonly<Record<keyof Answers, ReadonlySet<string>>> & {
  readonly asked: ReadonlyMap<string, Observation>;
};
type Observation = Extract<Entry, { entry: 'observation' }>;

const made = new WeakMap<Plan, KnownAnswers>();

/** Many trials ask about few plans, so that the names of each are gathered once. */
function knownAnswers(plan: Plan): KnownAnswers {
  const before = made.get(plan);
  if (before !== undefined) return before;
  const asked = new Map<string, Observation>();
  const known = {
    persons: new Set(plan.roles.map((role) => role.id)),
    instruments: new Set(plan.instruments.map((one) => one.id)),
    readings: new Set<string>(),
    carried: new Set<string>(),
    observations: new Set<string>(),
    identities: new Set<string>(),
    fields: new Set<string>(),
    held: new Set<string>(),
    releases: new Set(plan.holds.map((hold) => hold.id)),
    asked,
  };
  for (const entry of plan.entries) {
    for (const name of answerNames(entry)) {
      known[entrySections[entry.entry]].add(name);
      if (entry.entry === 'reading' && entry.throughout !== undefined) known.held.add(name);
      if (entry.entry === 'reading' && entry.carry !== undefined) known.carried.add(name);
      if (entry.entry === 'observation' && !asked.has(name)) asked.set(name, entry);
    }
  }
  made.set(plan, known);
  return known;
}

/** The first observation that an answer of this name is for. */
export const observationNamed = (plan: Plan, name: string): Observation | undefined =>
  knownAnswers(plan).asked.get(name);

/** Answers that nothing in the plan can ask for: the names that were probably mistyped, or stand in the wrong section. */
export function idleAnswers(plan: Plan, answers: Answers): readonly IdleAnswer[] {
  const known = knownAnswers(plan);
  return answerSections.flatMap((section) =>
    Object.keys(answers[section] ?? {}).flatMap((name) => {
      if (known[section].has(name)) return [];
      const candidates = [...known[section]].filter((one) => name.includes('@') || !one.includes('@'));
      const meant = nearest(name, candidates);
      return [{ section, name, ...(meant === undefined ? {} : { meant }) }];
    }),
  );
}
