import type { Plan } from '../model/plan.ts';

interface Names {
  readonly entries: ReadonlyMap<string, number>;
  readonly nodes: ReadonlyMap<string, number>;
}

const known = new WeakMap<Plan, Names>();

function namesOf(plan: Plan): Names {
  const names = known.get(plan);
  if (names !== undefined) return names;
  const made = {
    entries: new Map(plan.entries.map((entry, index) => [entry.name, index])),
    nodes: new Map(plan.nodes.map((node) => [node.path, node.index])),
  };
  known.set(plan, made);
  return made;
}

/** The place of an entry in the plan, by its name. */
export const findEntry = (plan: Plan, name: string): number | undefined => namesOf(plan).entries.get(name);

/** The place of a node in the plan, by its path. */
export const findNode = (plan: Plan, path: string): number | undefined => namesOf(plan).nodes.get(path);
