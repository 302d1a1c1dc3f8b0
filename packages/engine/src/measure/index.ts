export { type Adapter, adapterRatio, exactSetting, type WrenchSetting, wrenchSetting } from './adapter.ts';
export { type Bound, judgeBound } from './bound.ts';
export {
  type Candidate,
  chooseFromStock,
  MOST_IN_STACK,
  MOST_SIZES,
  MOST_TOTALS,
  type Stack,
  type StockChoice,
  type StockQuestion,
  stacksOf,
} from './choose-from-stock.ts';
export { meanOnCircle, nearestTurn } from './circle.ts';
export { type MeasuredWithin, probabilityOfConformity } from './conformity-probability.ts';
export { isFullDate, isTime, secondsOf } from './date.ts';
export { type DecisionRule, type RuleName, verdictTable } from './decision-rule.ts';
export { type Estimated, effectiveDegreesOfFreedom } from './effective-degrees-of-freedom.ts';
export { type Instrument, isInRange, overdue, type Unsuitable, unsuitable } from './instrument.ts';
export { type Judgeable, judge, type Measured } from './judge.ts';
export { type Limits, type LimitsFault, limitsOf, marginOf, type WrittenLimits } from './limits.ts';
export { oneSidedFactor } from './one-sided-factor.ts';
export { outlierOf } from './outlier.ts';
export {
  halfWidthAt,
  halfWidthOver,
  howErrorsAreWritten,
  isSameError,
  type PermissibleError,
  parsePermissibleError,
  spanKind,
} from './permissible-error.ts';
export { type Summary, summarise } from './repeats.ts';
export { rootOf } from './root.ts';
export { type StandsOut, standsOut } from './stands-out.ts';
export { coverageFactor, coverageFactorOnGrid } from './student.ts';
export {
  classesOf,
  leastSpecified,
  permissibleDeviation,
  type TorqueClass,
  torqueDeviation,
} from './torque-class.ts';
export { combine, type UncertainReading, type Uncertainty } from './uncertainty.ts';
export {
  type Assessment,
  type Beyond,
  type InconclusiveReason,
  type Side,
  type Verdict,
  type VerdictWord,
  verdicts,
} from './verdict.ts';
