import type { Exploration } from '@ferrule/engine/proof';

/** One procedure of a pack, proved for one variant. */
export interface Proof {
  readonly procedure: string;
  readonly variant: string;
  /** Steps of the plan, written out. */
  readonly steps: number;
  readonly exploration: Exploration;
}
