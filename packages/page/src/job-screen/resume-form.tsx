import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { localTime } from '../pieces/local-time.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/** A parked job goes on when what could have changed meanwhile has been looked at. */
export function ResumeForm({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const { give, refused } = useGiven(session, actor);
  const [confirmed, setConfirmed] = useState<readonly string[]>([]);
  const parked = session.folded.value.job.facts.findLast(({ fact }) => fact.kind === 'parked');
  const offer = session.offers.value.offers.find((one) => one.offer === 'resume');
  const confirm = offer?.offer === 'resume' ? offer.confirm : [];
  return (
    <article class="step" aria-labelledby="step-title">
      <h2 id="step-title" tabIndex={-1}>
        The job is parked
      </h2>
      {parked === undefined ? null : (
        <p class="step-says">
          {parked.by}, {localTime(parked.at)}: {parked.fact.kind === 'parked' ? parked.fact.reason : ''}
        </p>
      )}
      {confirm.length === 0 ? null : (
        <fieldset class="answers">
          <legend>Look at the engine and confirm, one by one:</legend>
          {confirm.map(({ id, text }) => (
            <label key={id} class="answer">
              <input
                type="checkbox"
                checked={confirmed.includes(id)}
                onChange={({ currentTarget: { checked } }) =>
                  setConfirmed(checked ? [...confirmed, id] : confirmed.filter((one) => one !== id))
                }
              />
              <span>{text}</span>
            </label>
          ))}
        </fieldset>
      )}
      <RefusalsShown plan={session.plan} refusals={refused} />
      <button type="button" class="main" onClick={() => give({ command: 'resume', confirmed })}>
        Go on with the job
      </button>
    </article>
  );
}
