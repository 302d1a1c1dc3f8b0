import type { RejudgeProgress } from '@ferrule/compare/rejudge';
import { progress as sayProgress } from '../terminal/output.ts';

const EVERY_MILLISECONDS = 2000;
/** By so many of the last moments the rate is measured: the first jobs are slow, since everything is made for them. */
const MOMENTS = 6;

/** Says on a terminal how far it has come, how fast it goes, and how long it takes if it goes on like that. */
export class RestOfTime {
  readonly #moments: { readonly at: number; readonly done: number }[] = [];

  show({ total, done, takenOver }: RejudgeProgress): void {
    const at = performance.now();
    const last = this.#moments.at(-1);
    if (last === undefined && takenOver > 0)
      sayProgress(`rejudge: ${takenOver} of ${total} jobs had been done before`);
    if (last !== undefined && at - last.at < EVERY_MILLISECONDS) return;
    this.#moments.push({ at, done });
    if (this.#moments.length > MOMENTS) this.#moments.shift();
    const [first] = this.#moments;
    if (first === undefined || first.at === at) return;
    const rate = ((done - first.done) * 1000) / (at - first.at);
    const left = rate === 0 ? 'no end to be seen' : `about ${lasting((total - done) / rate)} left`;
    sayProgress(`rejudge: ${done} of ${total} jobs, ${Math.round(rate)} a second, ${left}`);
  }
}

function lasting(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`;
  const minutes = Math.ceil(seconds / 60);
  return minutes < 90 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
