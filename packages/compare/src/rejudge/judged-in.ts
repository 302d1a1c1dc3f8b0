import type { Entry, Plan, PlanTolerance, StepNode } from '@ferrule/engine';
import { chosenBy, type JudgedBy, judgedBy, type Named } from './judged-by.ts';

export type Judges = 'tolerance' | 'answer' | 'serial-number' | 'stock';

/** One thing that a plan judges. */
export interface Judged {
  readonly judges: Judges;
  /** In the names of the newer revision, and in its own. */
  readonly name: string;
  readonly written: string;
  readonly title: string;
  /** Its place in the plan, among what is of its kind. */
  readonly place: number;
  readonly pointer: string;
  readonly entries: readonly Entry[];
  readonly by: JudgedBy;
  /** Paths of the steps that judge it. */
  readonly steps: readonly string[];
  readonly tolerance?: PlanTolerance;
  /** In words. */
  readonly limits?: string;
}

/** All that a plan judges, each once, in the order in which the steps come to it. */
export function judgedIn(plan: Plan, named: Named): readonly Judged[] {
  const steps = new Map<string, { readonly check: Check; readonly paths: string[] }>();
  for (const node of plan.nodes) {
    if (node.node !== 'step' || node.check === undefined) continue;
    const { check } = node;
    const key = `${check.check} ${placeOf(check)}`;
    const found = steps.get(key) ?? { check, paths: [] };
    found.paths.push(node.path);
    steps.set(key, found);
  }
  return [...steps.values()].flatMap(({ check, paths }) => {
    const made = describe(plan, check, named);
    return made === undefined ? [] : [{ ...made, name: named.judged(made.written), steps: paths }];
  });
}

type Check = NonNullable<StepNode['check']>;

function placeOf(check: Check): number {
  if (check.check === 'tolerance') return check.tolerance;
  return check.check === 'stock' ? check.selection : check.entry;
}

const nothing: JudgedBy = { limits: '', rule: '', value: '', reading: '', instrument: '', stock: '' };

function describe(plan: Plan, check: Check, named: Named): Omit<Judged, 'name' | 'steps'> | undefined {
  const place = placeOf(check);
  const entriesOf = (places: readonly number[]): readonly Entry[] =>
    places.flatMap((index) => plan.entries[index] ?? []);
  if (check.check === 'tolerance') {
    const tolerance = plan.tolerances[place];
    return (
      tolerance && {
        ...{ judges: 'tolerance', place, tolerance },
        ...{ written: tolerance.name, title: tolerance.title, pointer: tolerance.pointer },
        limits: tolerance.says,
        entries: entriesOf(tolerance.entries),
        by: judgedBy(plan, tolerance, named),
      }
    );
  }
  if (check.check === 'stock') {
    const selection = plan.selections[place];
    const by = selection && chosenBy(plan, selection, named);
    const limits = plan.tolerances[selection?.tolerance ?? -1]?.says;
    return (
      selection &&
      by && {
        ...{ judges: 'stock', place, by },
        ...{ written: selection.name, title: selection.stock.title, pointer: selection.pointer },
        ...(limits === undefined ? {} : { limits }),
        entries: entriesOf(selection.entries),
      }
    );
  }
  const entry = plan.entries[place];
  if (entry === undefined) return undefined;
  const base = { place, written: entry.name, title: entry.title, pointer: entry.pointer, entries: [entry] };
  if (entry.entry === 'observation') {
    // The order in which they are shown decides nothing.
    const answers = entry.answers.map(({ id, conforming }) => `${id} ${conforming}`).sort();
    return { ...base, judges: 'answer', by: { ...nothing, rule: JSON.stringify(answers) } };
  }
  const rule = entry.entry === 'identity' ? [entry.as, entry.acceptNew, entry.matched.length] : [];
  return { ...base, judges: 'serial-number', by: { ...nothing, rule: JSON.stringify(rule) } };
}
