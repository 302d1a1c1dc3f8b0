import type { Refusal } from '@ferrule/engine';
import { roleTitle } from '@ferrule/print';
import { useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { TextField } from '../pieces/text-field.tsx';
import { peopleWithRole, personInRole } from './people-with-role.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { SomebodyJoins } from './somebody-joins.tsx';
import { useGiven } from './use-given.ts';

/** An instrument was refused that somebody may allow: whoever the procedure names says so here, under their own name. */
export function AllowForm({
  session,
  actor,
  refused,
  onAllowed,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly refused: readonly Pick<Refusal, 'code' | 'about'>[];
  readonly onAllowed: () => void;
}) {
  const { give, refused: notAllowed } = useGiven(session, actor);
  const [reason, setReason] = useState('');
  const found = allowable(session, refused);
  if (found === undefined) return null;
  const { instrument, because, role } = found;
  const people = peopleWithRole(session, role);
  return (
    <fieldset class="allowing">
      <legend>{instrument} may be used all the same, if it is allowed</legend>
      <p class="entry-hint">
        The {roleTitle(session.plan, role).toLowerCase()} answers for that, with the reason. Whoever allows it
        does not use it.
      </p>
      {people.length === 0 ? (
        <SomebodyJoins session={session} actor={actor} role={role} />
      ) : (
        <>
          <TextField label="Why it is allowed" value={reason} onValue={setReason} />
          <RefusalsShown plan={session.plan} refusals={notAllowed} />
          {people.map((person) => (
            <button
              key={person}
              type="button"
              class="second"
              onClick={() =>
                void give({ command: 'allow', instrument, because, reason }, person).then((isTaken) => {
                  if (isTaken) onAllowed();
                })
              }
            >
              {personInRole(session, person, role)} allows it
            </button>
          ))}
        </>
      )}
    </fieldset>
  );
}

/** The instrument that was refused, where the pack lets somebody answer for it. */
function allowable({ plan, folded }: JobSession, refused: readonly Pick<Refusal, 'code' | 'about'>[]) {
  for (const { code: because, about: instrument } of refused) {
    if (because !== 'instrument-overdue' && because !== 'beyond-instrument') continue;
    const used = folded.value.job.instruments.find((one) => one.identity === instrument);
    const kind = plan.instruments.find(({ id }) => id === used?.kind);
    const role = because === 'instrument-overdue' ? kind?.overdueBy : kind?.beyondRangeBy;
    if (used !== undefined && role !== undefined) return { instrument: used.identity, because, role };
  }
  return undefined;
}
