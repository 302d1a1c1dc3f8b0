export { type IdleAnswer, idleAnswers } from './answers.ts';
export type { CheckedLibrary } from './check-library.ts';
export { type CheckOptions, type CheckReport, checkPack, jobsOf } from './check-pack.ts';
export { ScriptClock } from './clock.ts';
export { type Counterexample, sameFault } from './counterexample.ts';
export {
  type Coverage,
  type CoverageItem,
  coverageOf,
  type VariantCoverage,
} from './coverage.ts';
export { type Drafts, draftTrials } from './draft-trials.ts';
export { examine } from './examine.ts';
export { faultsOf, type ShownFault } from './faults-of.ts';
export { type Gauge, gaugesOf } from './gauges.ts';
export { inNamedFile } from './in-named-file.ts';
export {
  type InstrumentList,
  type ListedInstrument,
  readInstrumentList,
} from './instrument-list.ts';
export { instrumentUsed } from './instrument-used.ts';
export { type InstrumentOffer, instrumentsFor, onceEach } from './instruments-for.ts';
export type { Proof } from './proof.ts';
export { ProvenPlans } from './proven-plans.ts';
export { cellsIn } from './reach/reachable-marks.ts';
export { type Replayed, type ReplayOptions, replayWay } from './replay/replay-way.ts';
export { codeOfProperty } from './report-proof.ts';
export { runScript, type ScriptOptions, type ScriptRun } from './run-script.ts';
export { answersOf, runTrial, type TrialResult } from './run-trial.ts';
export { runTrials } from './run-trials.ts';
export { type SarifSubject, sarifOf } from './sarif.ts';
export { eventCommand, eventPerson, isOnlyTime, ScriptEvents, secondsBefore } from './script-events.ts';
export { type Move, ScriptedPerson } from './scripted-person.ts';
export { writeTrials } from './write-trials.ts';
