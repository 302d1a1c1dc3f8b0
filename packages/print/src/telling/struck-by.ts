import { type Fact, findEntry, type Plan } from '@ferrule/engine';
import { toleranceOf } from './write-verdict.ts';

/**
 * The number of the fact that struck this one; of a verdict, also that which struck what it was judged by. Undefined while
 * it counts. `facts` are those of the job.
 */
export function struckBy(plan: Plan, facts: readonly Fact[], { seq, fact }: Fact): number | undefined {
  const names = fact.kind === 'judged' ? judgedBy(plan, fact.of) : [];
  return facts.find(
    ({ seq: later, fact: one }) =>
      one.kind === 'struck' &&
      (one.target === seq ||
        one.also?.includes(seq) === true ||
        // What was taken again since is another matter.
        (later > seq && one.target < seq && one.entry !== undefined && names.includes(one.entry))),
  )?.seq;
}

/** The names of what a verdict, or a choice from stock, rests on. */
function judgedBy(plan: Plan, of: string): readonly string[] {
  const found = toleranceOf(plan, of) ?? plan.selections.find((one) => one.name === of);
  const entries = found?.entries ?? [findEntry(plan, of) ?? -1];
  return entries.flatMap((index) => plan.entries[index]?.name ?? []);
}
