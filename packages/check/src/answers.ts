import type { Answers, Entry, Plan } from '@ferrule/engine';

/** Answers of several sources, the later ones before the earlier: what a trial adds to the one that it is like. */
export function mergeAnswers(all: readonly (Answers | undefined)[]): Answers {
  const sections = [
    'persons',
    'instruments',
    'readings',
    'observations',
    'identities',
    'fields',
    'releases',
  ] as const;
  const merged: Record<string, Record<string, unknown>> = {};
  for (const answers of all) {
    for (const section of sections) {
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

/** Answers that no entry of the plan can ask for: the names that were probably mistyped. */
export function idleAnswers(plan: Plan, answers: Answers): readonly string[] {
  const known = new Set(plan.entries.flatMap(answerNames));
  const holds = new Set(plan.holds.map((hold) => hold.id));
  const given = (['readings', 'observations', 'identities', 'fields'] as const).flatMap((section) =>
    Object.keys(answers[section] ?? {}),
  );
  return [
    ...given.filter((name) => !known.has(name)),
    ...Object.keys(answers.releases ?? {}).filter((name) => !holds.has(name)),
  ];
}
