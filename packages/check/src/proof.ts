import type { Exploration } from '@ferrule/engine/proof';
import type { Counterexample } from './counterexample.ts';

/** One procedure of a pack, proved for one variant. */
export interface Proof {
  readonly procedure: string;
  readonly variant: string;
  /** Steps of the plan, written out. */
  readonly steps: number;
  readonly exploration: Exploration;
  /** How many of the states stand at each place of the pack, by its pointer (RFC 6901). */
  readonly statesAt: ReadonlyMap<string, number>;
  /** How long the exploration took. */
  readonly milliseconds: number;
  /** The way to each of its refutations, in their order. */
  readonly counterexamples: readonly Counterexample[];
}
