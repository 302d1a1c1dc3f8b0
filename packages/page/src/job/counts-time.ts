import type { Fact, Job, Plan } from '@ferrule/engine';

/**
 * Whether what a command comes to depends on when it is stored: a time begins or ends with it, or is judged. Facts bear the time of
 * the server, so what waits until that is reached would be given another time than the one that has passed at the engine.
 */
export const countsTime = (
  plan: Plan,
  before: Job,
  { facts, job }: { readonly facts: readonly Fact[]; readonly job: Job },
): boolean =>
  facts.some(({ fact }) => fact.kind === 'judged' && fact.verdict.elapsed !== undefined) ||
  plan.elapsed.some(({ since, until }) =>
    [since, until ?? since].some((at) => job.doneAt.get(at) !== before.doneAt.get(at)),
  );
