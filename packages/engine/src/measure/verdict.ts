import type { Amount } from '../quantity/index.ts';

export const verdicts = ['conforming', 'nonconforming', 'inconclusive', 'unmeasured'] as const;
export type VerdictWord = (typeof verdicts)[number];

/** Which limit was passed. */
export type Side = 'high' | 'low';

/**
 * Whether a value conforms. `margin` is the distance to the nearer limit, `excess` the distance beyond the one passed;
 * both are exact and never negative.
 */
export type Verdict =
  | { readonly verdict: 'conforming'; readonly value: Amount; readonly margin: Amount }
  | {
      readonly verdict: 'nonconforming';
      readonly value: Amount;
      readonly side: Side;
      readonly excess: Amount;
    }
  | { readonly verdict: 'inconclusive'; readonly value: Amount; readonly because: InconclusiveReason }
  | { readonly verdict: 'unmeasured'; readonly missing: readonly string[] };

export type InconclusiveReason = 'inside-guard-band' | 'instrument-too-coarse';
