export { ScriptClock } from './clock.ts';
export { runScript, type ScriptOptions, type ScriptRun } from './run-script.ts';
export { runTrial, type TrialResult } from './run-trial.ts';
export { runTrials } from './run-trials.ts';
export { type Move, ScriptedPerson } from './scripted-person.ts';
