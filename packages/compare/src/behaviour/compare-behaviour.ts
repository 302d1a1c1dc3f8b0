import type { Pack } from '@ferrule/engine';
import { findChanges } from '../compare-packs.ts';
import type { ComparedBehaviour } from '../document/generated/comparison-document.ts';
import { NewPlans } from './new-plans.ts';
import { runOldTrials } from './old-trials.ts';
import { permitsOf } from './permits.ts';
import { planPairs } from './plan-pairs.ts';
import { saysOf } from './says-of.ts';
import type { Until } from './until.ts';

export interface BehaviourOptions {
  /** Milliseconds after which no more is looked at; what was left out is said. 30 s if not given. */
  readonly mostTime?: number;
  /** What is being looked at, in words: called before each piece of work. */
  readonly onProgress?: (doing: string) => void;
}

const MOST_TIME = 30_000;

/**
 * What the newer revision does otherwise than the older one: the older trials run under it, what its jobs may come to that
 * the older ones could not, each with a way, and the rotation plans where they differ. Takes packs that were read without
 * faults. Changes are named by their place among those of `comparePacks`.
 */
export function compareBehaviour(
  before: Pack,
  after: Pack,
  { mostTime = MOST_TIME, onProgress = () => undefined }: BehaviourOptions = {},
): ComparedBehaviour {
  const end = performance.now() + mostTime;
  let cutShort = false;
  const until: Until = {
    isOver: () => {
      cutShort ||= performance.now() > end;
      return cutShort;
    },
    onProgress,
  };
  const forwards = findChanges(before, after);
  const plans = planPairs(forwards);
  const permits = permitsOf(forwards, new NewPlans(forwards), until);
  const backwards = findChanges(after, before);
  const forbids = permitsOf(backwards, new NewPlans(backwards), until, 'only-protections').filter(
    ({ found }) => found === 'way',
  ).length;
  const trials = runOldTrials(forwards, until);
  const found = { trials, permits, forbids, plans, cutShort };
  return { says: saysOf(found), ...found };
}
