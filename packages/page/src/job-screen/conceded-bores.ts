import { isLive, type Job, type Plan } from '@ferrule/engine';
import { concededIn, toleranceOf } from '@ferrule/print';

/** The bores at which a verdict that still counts was accepted by concession: none that was given again, or whose reading was struck. */
export function concededBores(plan: Plan, job: Job): ReadonlySet<number> {
  const conceded = concededIn(job);
  if (conceded.size === 0) return conceded;
  const latest = new Map<string, number>();
  for (const { fact, seq } of job.facts) if (fact.kind === 'judged') latest.set(fact.of, seq);
  return new Set(
    [...latest].flatMap(([of, seq]) => {
      const [, bore] = /@(\d+)$/.exec(of) ?? [];
      return bore !== undefined && conceded.has(seq) && restsOnLive(plan, job, of) ? [Number(bore)] : [];
    }),
  );
}

/** Whether what was judged was neither struck nor has gone stale since. */
function restsOnLive(plan: Plan, { control }: Job, of: string): boolean {
  const entries =
    toleranceOf(plan, of)?.entries.map((index) => plan.entries[index]) ??
    plan.entries.filter(({ name }) => name === of);
  return entries.every((entry) => isLive(entry, control.bytes));
}
