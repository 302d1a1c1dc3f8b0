import type { Fact, Pack, Plan } from '@ferrule/engine';

/** What is needed to tell of a fact in words: the plan, the pack that it came from, and the facts up to there. */
export interface Telling {
  readonly plan: Plan;
  readonly pack: Pack;
  readonly facts: readonly Fact[];
}
