import type { Offer } from '@ferrule/engine';
import { roleTitle, stepPlace } from '@ferrule/print';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { peopleWithRole, personInRole } from './people-with-role.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { SomebodyJoins } from './somebody-joins.tsx';
import { useGiven } from './use-given.ts';

type ReleaseOffer = Extract<Offer, { offer: 'release' }>;

/** The job does not go on until somebody who may do so has decided. */
export function HoldCard({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const { plan } = session;
  const { hold, offers } = session.offers.value;
  const releases = offers.filter((one) => one.offer === 'release');
  const { give, refused } = useGiven(session, actor);
  const [reason, setReason] = useState('');
  if (hold === undefined) return null;
  return (
    <article class="step hold" aria-labelledby="step-title">
      <p class="step-place">On hold at {stepPlace(plan, hold.step)}</p>
      <h2 id="step-title" tabIndex={-1}>
        {hold.text}
      </h2>
      {hold.safety ? (
        <p class="step-says">This hold is about safety: it cannot be waived by concession.</p>
      ) : null}
      {releases.length === 0 ? null : (
        <>
          <label class="reason">
            Reason, for the record
            <input
              value={reason}
              autocomplete="off"
              onInput={({ currentTarget }) => setReason(currentTarget.value)}
            />
          </label>
          <RefusalsShown plan={plan} refusals={refused} />
          {rolesWithoutAnybody(session, releases).map((role) => (
            <div key={role}>
              <p class="remedy">
                The {roleTitle(plan, role).toLowerCase()} may release it, and nobody has that role yet.
              </p>
              <SomebodyJoins session={session} actor={actor} role={role} />
            </div>
          ))}
          {releases.some(({ role }) => role !== undefined) ? (
            <p class="entry-hint">
              Pressed by whoever is named, and by nobody for them: it is on the record under that name.
            </p>
          ) : null}
          {releases.map((one) =>
            peopleFor(session, one, actor).map((person) => (
              <button
                key={`${one.by} ${person}`}
                type="button"
                class="main"
                onClick={() => give({ command: 'release', by: one.by, reason }, person)}
              >
                {releaseWords(session, one, person)}
              </button>
            )),
          )}
        </>
      )}
      <p class="remedy">A wrong entry can be struck under “More”; the hold goes with it.</p>
    </article>
  );
}

/** Who may release a hold in this way; where no role is asked for, who is at work. */
const peopleFor = (session: JobSession, { role }: ReleaseOffer, actor: string): readonly string[] =>
  role === undefined ? [actor] : peopleWithRole(session, role);

/** Roles that may release it and that nobody in the job has. */
const rolesWithoutAnybody = (session: JobSession, releases: readonly ReleaseOffer[]): readonly string[] => [
  ...new Set(
    releases.flatMap(({ role }) =>
      role === undefined || peopleWithRole(session, role).length > 0 ? [] : [role],
    ),
  ),
];

function releaseWords(session: JobSession, { by, role, goesTo }: ReleaseOffer, person: string): string {
  const who = role === undefined ? person : personInRole(session, person, role);
  switch (by) {
    case 'concession':
      return `${who} grants a concession`;
    case 'witness':
      return `${who} releases it`;
    case 'rework':
      return `${who} sends it back${goesTo === undefined ? '' : ` to ${stepPlace(session.plan, goesTo)}`}`;
  }
}
