import { type Pack, pointerTo, type Report } from '@ferrule/engine';
import { runTrials } from './run-trials.ts';

/** Failures of one trial that are told; the rest is counted. */
const MOST_FAILURES = 3;

/** Runs the trials of a pack, and reports each that comes to something else than it expects. */
export function reportTrials(pack: Pack, digest: string, report: Report): void {
  for (const { trial, failures } of runTrials(pack, digest)) {
    if (failures.length === 0) continue;
    const more = failures.length - MOST_FAILURES;
    const told = [...failures.slice(0, MOST_FAILURES), ...(more > 0 ? [`And ${more} more.`] : [])];
    report.add('failed-trial', pointerTo('/trials', trial), told.join(' '), {
      remedy: `See ferrule trial for what happens in ${trial}; correct the procedure, or what the trial answers and expects.`,
    });
  }
}
