import { PHASE, progressOf } from '@ferrule/engine';
import type { JobSession } from '../job/session.ts';
import { partsOfWay } from './position-of.ts';

/** Where one is in the whole: a thread through the parts of the procedure, each as long as it has steps. */
export function WayThrough({ session }: { readonly session: JobSession }) {
  const way = wayOf(session);
  const { parts, here } = way;
  return (
    <nav class="way" aria-label="The whole job">
      <ol>
        {parts.map(({ title, all, gone }, index) => (
          <li
            key={`${index} ${title}`}
            class={index === here ? 'part part-here' : 'part'}
            aria-current={index === here ? 'step' : undefined}
            style={{ flexGrow: all }}
          >
            <progress value={gone} max={all} aria-label={`${title}: ${gone} of ${all}`} />
          </li>
        ))}
      </ol>
      <p>{whereInWords(session, way)}</p>
    </nav>
  );
}

/**
 * The parts, how much of each lies behind, and which one the next step is in. What a condition leaves out is never done: it
 * lies behind with the steps that come after it.
 */
function wayOf({ plan, folded, offers }: JobSession) {
  const { control } = folded.value.job;
  const parts = partsOfWay(plan);
  const here = parts.findIndex(({ steps }) => steps.includes(control.at));
  const done = parts.map(
    ({ steps }) => steps.filter((step) => progressOf(plan, control, step) === PHASE.done).length,
  );
  // A remedy and a hold belong to no part: the last one in which something was done is where they came up.
  const reached = here >= 0 ? here : done.findLastIndex((one) => one > 0);
  const isThrough = here < 0 && offers.value.step === undefined && offers.value.hold === undefined;
  return {
    here,
    parts: parts.map(({ title, steps }, index) => {
      const all = steps.length;
      const gone =
        isThrough || index < reached ? all : index === here ? steps.indexOf(control.at) : (done[index] ?? 0);
      return { title, all, gone };
    }),
  };
}

function whereInWords({ offers }: JobSession, { parts, here }: ReturnType<typeof wayOf>): string {
  const { hold, progress, step } = offers.value;
  const part = parts[here];
  if (part !== undefined)
    return `${part.title}: step ${part.gone + 1} of ${part.all}, part ${here + 1} of ${parts.length}`;
  if (hold !== undefined) return `On hold. ${progress.done} steps are done`;
  return step === undefined ? `${progress.done} steps done` : `A remedy. ${progress.done} steps are done`;
}
