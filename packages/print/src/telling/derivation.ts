import { type Fact, findEntry, type PlanTolerance, writeFormula } from '@ferrule/engine';
import { readingText } from './reading-text.ts';
import type { Telling } from './telling.ts';
import { nameOf } from './titles.ts';

/** How the value of a tolerance comes about, when it is not simply the reading. */
export interface Derivation {
  /** The name of the value in words: drift. */
  readonly name: string;
  /** What the pack says of it. */
  readonly title?: string;
  /** after clamping − rack shift */
  readonly formula: string;
  /** The same with the values as they are recorded: after clamping 0.041 mm − rack shift 0.036 mm */
  readonly withValues: string;
  /** Operands that are recorded: rack shift is 0.036 mm */
  readonly recorded: readonly string[];
}

/** Undefined where the reading itself is judged. `before` leaves out that fact and later ones. */
export function derivationOf(
  { plan, pack, facts }: Telling,
  tolerance: PlanTolerance,
  before = Number.POSITIVE_INFINITY,
): Derivation | undefined {
  if (tolerance.value.node === 'name') return undefined;
  const values = recordedBefore(facts, before);
  const bore = /@(\d+)$/.exec(tolerance.name)?.[1];
  const nameHere = (name: string): string => {
    const other = /@(\d+)$/.exec(name)?.[1];
    return other === undefined || other === bore ? nameOf(name) : `${nameOf(name)} of bore ${other}`;
  };
  const names = tolerance.entries.flatMap((entry) => plan.entries[entry]?.name ?? []);
  const [, procedure = ''] = tolerance.pointer.match(/^\/procedures\/([^/]+)\//) ?? [];
  const title = pack.procedures[procedure]?.derived?.[tolerance.of]?.title;
  return {
    name: nameOf(tolerance.of),
    ...(title === undefined ? {} : { title }),
    formula: writeFormula(tolerance.value, nameHere),
    withValues: writeFormula(tolerance.value, (name) => {
      const value = findEntry(plan, name) === undefined ? undefined : values.get(name);
      return value === undefined ? nameHere(name) : `${nameHere(name)} ${value.replace(' ', '\u00a0')}`;
    }),
    recorded: names.flatMap((name) => {
      const value = values.get(name);
      return value === undefined ? [] : [`${nameHere(name)} is ${value}`];
    }),
  };
}

/** What was last read under each name and not struck. */
function recordedBefore(facts: readonly Fact[], before: number): ReadonlyMap<string, string> {
  const values = new Map<string, string>();
  for (const { seq, fact } of facts) {
    if (seq >= before) break;
    if (fact.kind === 'reading' || fact.kind === 'carried') {
      const read = readingText(fact);
      if (read !== undefined) values.set(fact.entry, read);
    }
    if (fact.kind === 'struck' && fact.entry !== undefined && fact.open !== true) values.delete(fact.entry);
  }
  return values;
}
