import { PHASE, progressOf } from '@ferrule/engine';
import type { JobSession } from '../job/session.ts';
import { partsOfWay } from './position-of.ts';

/** Where one is in the whole: a thread through the parts of the procedure, each as long as it has steps. */
export function WayThrough({ session }: { readonly session: JobSession }) {
  const { plan, folded } = session;
  const { control } = folded.value.job;
  const parts = partsOfWay(plan).map(({ title, steps }) => ({
    title,
    all: steps.length,
    done: steps.filter((index) => progressOf(plan, control, index) === PHASE.done).length,
    isHere: steps.includes(control.at),
  }));
  const { progress, step } = session.offers.value;
  const { done } = progress;
  // Steps of a remedy that nothing called for are never done.
  const isThrough = step === undefined;
  const here = parts.find(({ isHere }) => isHere);
  return (
    <nav class="way" aria-label="The whole job">
      <ol>
        {parts.map(({ title, all, done: finished, isHere }, index) => (
          <li
            key={`${index} ${title}`}
            class={isHere ? 'part part-here' : 'part'}
            aria-current={isHere ? 'step' : undefined}
            style={{ flexGrow: all }}
          >
            <progress value={finished} max={all} aria-label={`${title}: ${finished} of ${all}`} />
          </li>
        ))}
      </ol>
      <p>
        {isThrough
          ? `${done} steps done`
          : here === undefined
            ? `A remedy. ${done} steps are done`
            : `${here.title}: step ${here.done + 1} of ${here.all}, part ${parts.indexOf(here) + 1} of ${parts.length}`}
      </p>
    </nav>
  );
}
