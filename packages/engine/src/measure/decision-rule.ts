import type { Amount, Kind, Rational } from '../quantity/index.ts';
import { type Limits, marginOf } from './limits.ts';
import type { Verdict } from './verdict.ts';

export const decisionRuleNames = ['simple'] as const;
export type DecisionRule = (typeof decisionRuleNames)[number];

type Rule = (value: Amount, limits: Limits) => Verdict;

/** One rule a line. A rule sees the value and the limits and answers with a verdict. */
export const decisionRules: Readonly<Record<DecisionRule, Rule>> = { simple };

/** Simple acceptance (JCGM 106:2012, 8.2): what lies inside the tolerance limits conforms, the limits included. */
function simple(value: Amount, limits: Limits): Verdict {
  const margin = marginOf(value.value, limits);
  const kind = spanKind(value.kind);
  if (margin.sign >= 0) return { verdict: 'conforming', value, margin: { kind, value: margin } };
  const excess = margin.negated();
  return {
    verdict: 'nonconforming',
    value,
    side: sideOf(value.value, limits),
    excess: { kind, value: excess },
  };
}

const sideOf = (value: Rational, limits: Limits): 'high' | 'low' =>
  limits.high !== undefined && value.compare(limits.high.value) > 0 ? 'high' : 'low';

/** Two temperatures differ by a temperature difference. */
const spanKind = (kind: Kind): Kind => (kind === 'temperature' ? 'temperature-difference' : kind);
