import { useRef, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import type { Beside } from './aside-form.tsx';
import { DrawerNoted } from './drawer-noted.tsx';
import { EntriesSoFar } from './entries-so-far.tsx';
import { InstrumentNamed } from './instrument-named.tsx';
import { SomebodyJoins } from './somebody-joins.tsx';
import { TextAsked } from './text-asked.tsx';

/** What is not the next step: a note, somebody who joins, another instrument, an earlier entry, parking, closing as unfinished. */
export function MoreToDo({ session, actor }: { readonly session: JobSession; readonly actor: string }) {
  const dialog = useRef<HTMLDialogElement>(null);
  // What was begun and left there is gone when it is opened again.
  const [times, setTimes] = useState(0);
  const close = (): void => dialog.current?.close();
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
          <button type="button" class="plain" onClick={close}>
            Close
          </button>
        </div>
        {times === 0 ? null : <Choices key={times} session={session} actor={actor} onTaken={close} />}
      </dialog>
    </>
  );
}

function Choices(beside: Beside) {
  const { document } = beside.session;
  const { standing } = beside.session.offers.value;
  return (
    <>
      {standing === 'closed' ? null : (
        <>
          <TextAsked
            {...beside}
            title="Note"
            label="For the record"
            action="Keep the note"
            command={(text) => ({ command: 'note', text })}
          />
          <EntriesSoFar {...beside} />
          <InstrumentNamed {...beside} />
          <SomebodyJoins {...beside} />
          <DrawerNoted {...beside} />
          <Parking {...beside} />
          <TextAsked
            {...beside}
            title="Close as unfinished"
            label="Why it is not finished"
            action="Close as unfinished"
            command={(reason) => ({ command: 'abandon', reason })}
          />
        </>
      )}
      <p>
        <PaperLink class="plain" to={paperOf.card(document.job)}>
          The job card as it stands
        </PaperLink>
      </p>
    </>
  );
}

/** Leaving the job for later, with what has to be seen to before; or that it cannot be left here. */
function Parking(beside: Beside) {
  const { offers } = beside.session.offers.value;
  const offer = offers.find((one) => one.offer === 'park');
  if (offer?.offer !== 'park') return <p class="entry-hint">{whyNotParked(beside.session)}</p>;
  return (
    <TextAsked
      {...beside}
      title="Park the job"
      label="Why, and what somebody who comes upon the engine has to know"
      action="Park"
      hint={offer.instructions}
      command={(reason) => ({ command: 'park', reason })}
    />
  );
}

function whyNotParked({ plan: { parking }, offers }: JobSession): string {
  if (parking === undefined) return 'This procedure does not say how it may be left unfinished.';
  if (offers.value.standing === 'on-hold')
    return 'On hold the job waits for whoever decides: it can be left as it is, and need not be parked.';
  if (offers.value.standing !== 'at-step') return 'The job cannot be parked as it stands now.';
  return `It cannot be parked here: ${parking.guard.because.says} ${parking.instructions}`;
}
