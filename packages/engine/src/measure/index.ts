export { isFullDate, isTime } from './date.ts';
export { type DecisionRule, decisionRuleNames } from './decision-rule.ts';
export { type Instrument, overdue, type Unsuitable, unsuitable } from './instrument.ts';
export { type Judgeable, judge, type Measured } from './judge.ts';
export { type Limits, type LimitsFault, limitsOf, marginOf, type WrittenLimits } from './limits.ts';
export { type InconclusiveReason, type Side, type Verdict, type VerdictWord, verdicts } from './verdict.ts';
