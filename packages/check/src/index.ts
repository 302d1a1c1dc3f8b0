export { type IdleAnswer, idleAnswers } from './answers.ts';
export { type CheckOptions, type CheckReport, checkPack, jobsOf } from './check-pack.ts';
export { ScriptClock } from './clock.ts';
export { examine } from './examine.ts';
export type { Proof } from './proof.ts';
export { runScript, type ScriptOptions, type ScriptRun } from './run-script.ts';
export { answersOf, runTrial, type TrialResult } from './run-trial.ts';
export { runTrials } from './run-trials.ts';
export { type Move, ScriptedPerson } from './scripted-person.ts';
