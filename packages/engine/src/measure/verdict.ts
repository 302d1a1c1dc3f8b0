import type { Amount } from '../quantity/index.ts';
import type { Uncertainty } from './uncertainty.ts';
import type { Zone } from './zone.ts';

export const verdicts = ['conforming', 'nonconforming', 'inconclusive', 'unmeasured'] as const;
export type VerdictWord = (typeof verdicts)[number];

/** Which limit was passed. */
export type Side = 'high' | 'low';

/** On which side of a scale an indication lay. */
export type Beyond = 'above' | 'below';

/** What the uncertainty says about a verdict. */
export interface Assessment {
  readonly uncertainty: Uncertainty;
  readonly zone: Zone;
  /** Probability that the true value lies inside the tolerance limits (JCGM 106, 7), in whole millionths. */
  readonly millionths: number;
  /** Whether the instruments are fine enough for the tolerance; undefined where there is one limit only. */
  readonly suffices: boolean | undefined;
  /** The verdict stands, and is likelier wrong than the pack accepts by its simple rule, or than 10 % by another one. */
  readonly isDoubtful: boolean;
}

/**
 * Whether a value conforms. `margin` is the distance to the nearer limit, `excess` the distance beyond the one passed;
 * both are exact and never negative. Without an assessment nothing is known about the uncertainty. With `beyond` the value
 * is only known to lie above or below the one that is given, off the end of a scale; margin and excess are then more.
 */
export type Verdict =
  | {
      readonly verdict: 'conforming';
      readonly value: Amount;
      readonly margin: Amount;
      readonly beyond?: Beyond;
      readonly assessment?: Assessment | undefined;
    }
  | {
      readonly verdict: 'nonconforming';
      readonly value: Amount;
      readonly side: Side;
      readonly excess: Amount;
      readonly beyond?: Beyond;
      readonly assessment?: Assessment | undefined;
    }
  | {
      readonly verdict: 'inconclusive';
      /** Not there where it is calculated from what lies beyond its scale. */
      readonly value?: Amount;
      readonly beyond?: Beyond;
      readonly because: InconclusiveReason;
      readonly assessment?: Assessment | undefined;
    }
  | { readonly verdict: 'unmeasured'; readonly missing: readonly string[] };

export type InconclusiveReason =
  | 'inside-guard-band'
  | 'instrument-too-coarse'
  | 'uncertainty-unknown'
  | 'beyond-scale';
