import { carriedFrom, type Origin, writeAge } from '@ferrule/engine';
import { carriedText } from '@ferrule/print';
import { useEffect, useState } from 'preact/hooks';
import { carryOf, earlierJobs } from '../job/earlier-jobs.ts';
import type { JobSession } from '../job/session.ts';
import type { Called } from '../link/call.ts';
import { ProblemShown } from '../pieces/problem-shown.tsx';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/**
 * The value of a reading may be taken over from an earlier job on the same engine instead of being measured. What each would
 * give is shown with its age before it counts; what is too old, or was struck there, with the reason.
 */
export function CarryForm({
  session,
  actor,
  entry,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly entry: string;
}) {
  const { plan } = session;
  const carry = carryOf(plan, entry);
  const [came, setCame] = useState<Called<readonly Origin[]>>();
  const [tries, setTries] = useState(0);
  useEffect(() => {
    let isGone = false;
    if (carry !== undefined)
      void earlierJobs(session, carry).then((found) => {
        if (!isGone) setCame(found);
      });
    return () => {
      isGone = true;
    };
  }, [session, carry, tries]);
  const again = (): void => setTries((count) => count + 1);
  if (carry === undefined) return null;
  return (
    <section class="carrying" aria-labelledby="carry-title">
      <h3 id="carry-title">Or taken over from an earlier job</h3>
      {came === undefined ? <p class="entry-hint">Looking for finished jobs on this engine …</p> : null}
      {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
      {came?.came === 'away' ? (
        <p class="remedy">
          The server is not reached, and the earlier jobs are there. Measure it.{' '}
          <button type="button" class="plain" onClick={again}>
            Try again
          </button>
        </p>
      ) : null}
      {came?.came === 'document' ? (
        came.document.length === 0 ? (
          <p class="entry-hint">
            No finished job of “{carry.procedure.replaceAll('-', ' ')}” on this engine is in the store.
            Measure it.
          </p>
        ) : (
          came.document.map((origin) => (
            <ValueOf key={origin.job} session={session} actor={actor} entry={entry} origin={origin} />
          ))
        )
      ) : null}
    </section>
  );
}

function ValueOf({
  session,
  actor,
  entry,
  origin,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly entry: string;
  readonly origin: Origin;
}) {
  const { plan, folded } = session;
  const { give, refused } = useGiven(session, actor);
  const now = session.now();
  const { carried, refusals } = carriedFrom(plan, folded.value.job, entry, origin, now);
  if (carried === undefined)
    return (
      <div>
        <p class="entry-hint">Not from the job {origin.job}:</p>
        <RefusalsShown plan={plan} refusals={refusals} isAlert={false} />
      </div>
    );
  return (
    <div>
      <RefusalsShown plan={plan} refusals={refused} />
      <button type="button" class="second" onClick={() => void give({ command: 'carry', entry, origin })}>
        Take over {`${carried.digits} ${carried.unit}`.trim()}, {writeAge(carried.from.at, now)} old
      </button>
      <p class="entry-hint">{carriedText(carried, now)}</p>
    </div>
  );
}
