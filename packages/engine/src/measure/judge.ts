import type { Amount } from '../quantity/index.ts';
import { type DecisionRule, decisionRules } from './decision-rule.ts';
import type { Limits } from './limits.ts';
import type { Verdict } from './verdict.ts';

/** What a judgement needs: the limits and the rule by which a value is held against them. */
export interface Judgeable {
  readonly limits: Limits;
  readonly rule: DecisionRule;
}

/** A value to be judged, or the names of what is not recorded. */
export type Measured =
  | { readonly amount: Amount; readonly missing?: undefined }
  | { readonly missing: readonly string[]; readonly amount?: undefined };

/**
 * Judges a measured value against its limits by the stated decision rule (JCGM 106:2012, 8). A value that is not
 * there is `unmeasured`, never conforming. The comparison is exact; nothing is rounded.
 */
export function judge(tolerance: Judgeable, measured: Measured): Verdict {
  if (measured.amount === undefined) return { verdict: 'unmeasured', missing: measured.missing };
  return decisionRules[tolerance.rule](measured.amount, tolerance.limits);
}
