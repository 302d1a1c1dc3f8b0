import type { Offer } from '@ferrule/engine';
import { roleTitle } from '@ferrule/print';
import type { JobSession } from '../job/session.ts';
import { peopleWithRole } from './people-with-role.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { SomebodyJoins } from './somebody-joins.tsx';
import { useGiven } from './use-given.ts';

type WitnessOffer = Extract<Offer, { offer: 'witness' }>;

/** Somebody else has to look at it: who it is says so here, under their own name. */
export function WitnessForm({
  session,
  actor,
  offer,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly offer: WitnessOffer;
}) {
  const { plan } = session;
  const { give, refused } = useGiven(session, actor);
  const people = peopleWithRole(session, offer.role);
  return (
    <div class="witness">
      <p>
        The {roleTitle(plan, offer.role).toLowerCase()} looks at it and confirms it. It cannot be who has done
        it.
      </p>
      <RefusalsShown plan={plan} refusals={refused} />
      {people.length === 0 ? (
        <>
          <p class="remedy">Nobody has this role in the job yet.</p>
          <SomebodyJoins session={session} actor={actor} role={offer.role} />
        </>
      ) : (
        people.map((person) => (
          <button
            key={person}
            type="button"
            class="main"
            onClick={() => give({ command: 'witness', step: offer.step }, person)}
          >
            {person} has seen it
          </button>
        ))
      )}
    </div>
  );
}
