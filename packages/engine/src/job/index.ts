export { advance, openConditions, startControl } from './advance.ts';
export { adviceOn } from './advice.ts';
export { writeAge } from './age.ts';
export { undecidedBeyond } from './beyond-scale.ts';
export { type Command, commandNames, type Occasion, type StartRequest } from './command.ts';
export {
  blankControl,
  type Control,
  describeCells,
  failing,
  holds,
  isLive,
  nodeAt,
  PHASE,
  progressOf,
} from './control.ts';
export { type Decided, decide, start } from './decide.ts';
export { carriedFrom } from './decide-carry.ts';
export { type RunningTime, timesRunning } from './elapsed.ts';

export {
  type CarriedFrom,
  type Fact,
  type FactBody,
  factKinds,
  type InstrumentUsed,
  type Photograph,
  type Setting,
  type WrittenAssessment,
  type WrittenChoice,
  type WrittenVerdict,
} from './fact.ts';
export { findEntry, findNode } from './find.ts';
export {
  type Job,
  jobFrom,
  recordedValue,
  sameSignal,
  signalOf,
  type Taken,
  withFact,
} from './job.ts';
export {
  describeStep,
  type Offer,
  type OfferedRepeats,
  type OfferedStep,
  type Offers,
  offers,
} from './offers.ts';
export type { CarriedUncertainty, Origin, OriginValue } from './origin.ts';
export { type Referral, referrals } from './referrals.ts';
export { type Refusal, type RefusalCode, refusalCodes } from './refusal.ts';
export { choiceOf, type Selected, selectByReadings } from './select-from-stock.ts';
export { type JudgedOutcome, type PartOutcome, type Signal, signalNames } from './signal.ts';
export { signals, strikes, strikesOf, waysOn } from './signals.ts';
export { type Sufficiency, type Suitability, suitability } from './suitability.ts';
export { type TakenBy, type TakenReading, uncertaintyOf } from './uncertainty-of.ts';
export { judgeReadings, type VerdictOn } from './verdict-on.ts';
