import type { Exploration } from '@ferrule/engine/proof';
import type { Counterexample } from './counterexample.ts';

/** One procedure of a pack, proved for one variant. */
export interface Proof {
  readonly procedure: string;
  readonly variant: string;
  /** Steps of the plan, written out. */
  readonly steps: number;
  readonly exploration: Exploration;
  /** The way to each of its refutations, in their order. */
  readonly counterexamples: readonly Counterexample[];
}
