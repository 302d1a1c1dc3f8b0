import { roleTitle } from '@ferrule/print';
import { useRef, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { RefusalsShown } from './refusals-shown.tsx';
import { useGiven } from './use-given.ts';

/** What is not the next step: a note, somebody who joins, another instrument, parking, closing as unfinished. */
export function MoreToDo({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const dialog = useRef<HTMLDialogElement>(null);
  // What was begun and left there is gone when it is opened again.
  const [times, setTimes] = useState(0);
  return (
    <>
      <button
        type="button"
        class="second"
        onClick={() => {
          setTimes(times + 1);
          dialog.current?.showModal();
        }}
      >
        More
      </button>
      <dialog ref={dialog} class="more" aria-labelledby="more-title">
        <div class="more-head">
          <h2 id="more-title">More</h2>
          <button type="button" class="plain" onClick={() => dialog.current?.close()}>
            Close
          </button>
        </div>
        {times === 0 ? null : (
          <Choices key={times} session={session} actor={actor} onTaken={() => dialog.current?.close()} />
        )}
      </dialog>
    </>
  );
}

function Choices({ session, actor, onTaken }: Part) {
  const { document, folded } = session;
  const { standing, offers } = session.offers.value;
  return (
    <>
      {standing === 'closed' ? null : (
        <>
          <TextAsked
            session={session}
            actor={actor}
            title="Note"
            label="For the record"
            action="Keep the note"
            command={(text) => ({ command: 'note', text })}
            onTaken={onTaken}
          />
          <InstrumentNamed session={session} actor={actor} onTaken={onTaken} />
          <Joining session={session} actor={actor} onTaken={onTaken} />
          {offers.some(({ offer }) => offer === 'park') ? (
            <TextAsked
              session={session}
              actor={actor}
              title="Park the job"
              label="Why, and what somebody who comes upon the engine has to know"
              action="Park"
              command={(reason) => ({ command: 'park', reason })}
              onTaken={onTaken}
            />
          ) : (
            <p class="entry-hint">The job cannot be parked at this place.</p>
          )}
          <TextAsked
            session={session}
            actor={actor}
            title="Close as unfinished"
            label="Why it is not finished"
            action="Close as unfinished"
            command={(reason) => ({ command: 'abandon', reason })}
            onTaken={onTaken}
          />
        </>
      )}
      <p>
        <a href={`/jobs/${document.job}/card`} target="_blank" rel="noreferrer">
          The job card as it stands
        </a>{' '}
        ({folded.value.job.seq} facts)
      </p>
    </>
  );
}

interface Part {
  readonly session: JobSession;
  readonly actor: string;
  readonly onTaken: () => void;
}

function TextAsked({
  session,
  actor,
  title,
  label,
  action,
  command,
  onTaken,
}: Part & {
  readonly title: string;
  readonly label: string;
  readonly action: string;
  readonly command: (text: string) => Parameters<ReturnType<typeof useGiven>['give']>[0];
}) {
  const { give, refused } = useGiven(session, actor);
  const [text, setText] = useState('');
  return (
    <details class="aside-form">
      <summary>{title}</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void give(command(text)).then((isTaken) => {
            if (isTaken) onTaken();
          });
        }}
      >
        <label>
          {label}
          <input
            value={text}
            autocomplete="off"
            onInput={({ currentTarget }) => setText(currentTarget.value)}
          />
        </label>
        <RefusalsShown plan={session.plan} refusals={refused} />
        <button type="submit" class="second">
          {action}
        </button>
      </form>
    </details>
  );
}

function InstrumentNamed({ session, actor, onTaken }: Part) {
  const { plan } = session;
  const { give, refused } = useGiven(session, actor);
  const [kind, setKind] = useState(plan.instruments[0]?.id ?? '');
  const [identity, setIdentity] = useState('');
  const [due, setDue] = useState('');
  if (plan.instruments.length === 0) return null;
  return (
    <details class="aside-form">
      <summary>Name an instrument</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          const instrument = { kind, identity: identity.trim(), ...(due === '' ? {} : { due }) };
          void give({ command: 'equip', instrument }).then((isTaken) => {
            if (isTaken) onTaken();
          });
        }}
      >
        <label>
          Kind
          <select value={kind} onChange={({ currentTarget }) => setKind(currentTarget.value)}>
            {plan.instruments.map(({ id, title }) => (
              <option key={id} value={id}>
                {title}
              </option>
            ))}
          </select>
        </label>
        <label>
          Number on it
          <input
            value={identity}
            autocomplete="off"
            onInput={({ currentTarget }) => setIdentity(currentTarget.value)}
          />
        </label>
        <label>
          Calibrated until
          <input type="date" value={due} onInput={({ currentTarget }) => setDue(currentTarget.value)} />
        </label>
        <RefusalsShown plan={plan} refusals={refused} />
        <button type="submit" class="second">
          Name it
        </button>
      </form>
    </details>
  );
}

function Joining({ session, actor, onTaken }: Part) {
  const { plan } = session;
  const { give, refused } = useGiven(session, actor);
  const [role, setRole] = useState(plan.roles[0]?.id ?? '');
  const [person, setPerson] = useState('');
  return (
    <details class="aside-form">
      <summary>Somebody joins</summary>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          void give({ command: 'join', role, person: person.trim() }).then((isTaken) => {
            if (isTaken) onTaken();
          });
        }}
      >
        <label>
          Who
          <input
            value={person}
            autocomplete="off"
            onInput={({ currentTarget }) => setPerson(currentTarget.value)}
          />
        </label>
        <label>
          As
          <select value={role} onChange={({ currentTarget }) => setRole(currentTarget.value)}>
            {plan.roles.map(({ id }) => (
              <option key={id} value={id}>
                {roleTitle(plan, id)}
              </option>
            ))}
          </select>
        </label>
        <RefusalsShown plan={plan} refusals={refused} />
        <button type="submit" class="second">
          Join
        </button>
      </form>
    </details>
  );
}
