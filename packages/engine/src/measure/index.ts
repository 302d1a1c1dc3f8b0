export { type Adapter, adapterRatio, type WrenchSetting, wrenchSetting } from './adapter.ts';
export { isFullDate, isTime } from './date.ts';
export { type DecisionRule, decisionRuleNames } from './decision-rule.ts';
export { type Instrument, overdue, type Unsuitable, unsuitable } from './instrument.ts';
export { type Judgeable, judge, type Measured } from './judge.ts';
export { type Limits, type LimitsFault, limitsOf, marginOf, type WrittenLimits } from './limits.ts';
export {
  classesOf,
  leastSpecified,
  permissibleDeviation,
  type TorqueClass,
  torqueDeviation,
} from './torque-class.ts';
export { type InconclusiveReason, type Side, type Verdict, type VerdictWord, verdicts } from './verdict.ts';
