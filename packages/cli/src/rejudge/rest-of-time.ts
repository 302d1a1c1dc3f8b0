import { Pace, type RejudgeProgress } from '@ferrule/compare/rejudge';
import { progress as sayProgress } from '../terminal/output.ts';

/** Says on a terminal how far it has come, how fast it goes, and how long it takes if it goes on like that. */
export class RestOfTime {
  readonly #pace = new Pace();
  #isFirst = true;
  #done = 0;

  /** How many jobs are done, also by an earlier call. */
  get done(): number {
    return this.#done;
  }

  show(progress: RejudgeProgress): void {
    const { total, done, takenOver } = progress;
    this.#done = done;
    if (this.#isFirst && takenOver > 0)
      sayProgress(`rejudge: ${takenOver} of ${total} jobs had been done before`);
    this.#isFirst = false;
    const rate = this.#pace.at(performance.now(), progress);
    if (rate === undefined) return;
    const { jobsPerSecond, remainingSeconds } = rate;
    const left =
      remainingSeconds === undefined ? 'no end to be seen' : `about ${lasting(remainingSeconds)} left`;
    sayProgress(`rejudge: ${done} of ${total} jobs, ${Math.round(jobsPerSecond)} a second, ${left}`);
  }
}

function lasting(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`;
  const minutes = Math.ceil(seconds / 60);
  return minutes < 90 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
