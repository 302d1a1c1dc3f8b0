import { type Offer, type Photograph, parseQuantity } from '@ferrule/engine';
import { useEffect, useState } from 'preact/hooks';
import type { JobSession } from '../job/session.ts';
import { sendPicture } from '../link/call.ts';
import { pathOf } from '../link/path-of.ts';
import { AllowForm } from './allow-form.tsx';
import { DrawerNoted } from './drawer-noted.tsx';
import { InstrumentChosen, useInstrument } from './instrument-chosen.tsx';
import { InstrumentNamed } from './instrument-named.tsx';
import { RefusalsShown } from './refusals-shown.tsx';
import { SomebodyJoins } from './somebody-joins.tsx';
import { clockOf } from './times-running.tsx';
import { useGiven } from './use-given.ts';

type DoneOffer = Extract<Offer, { offer: 'done' }>;

/** The main verb of a step: it is confirmed once it is done. */
export function ActForm({
  session,
  actor,
  offer,
}: {
  readonly session: JobSession;
  readonly actor: string;
  readonly offer: DoneOffer;
}) {
  const { plan, folded } = session;
  const { job } = folded.value;
  const { give, refused, forget } = useGiven(session, actor);
  const { instruments, used, choose } = useInstrument(session, offer.wrench);
  const others = [...new Set(job.persons.map(({ person }) => person))].filter((one) => one !== actor);
  const [together, setTogether] = useState<string>();
  const done = (photograph?: Photograph): void => {
    give({
      command: 'done',
      step: offer.step,
      ...(offer.together === undefined ? {} : { together: together ?? others[0] ?? '' }),
      ...(offer.wrench === undefined || used === undefined ? {} : { instrument: used.identity }),
      ...(photograph === undefined ? {} : { photograph }),
    });
  };
  const { choice } = offer;
  const stock = choice !== undefined && 'chosen' in choice ? choice.chosen?.stock : undefined;
  return (
    <div class="act">
      {offer.settings === undefined ? null : (
        <ul class="settings">
          {offer.settings.map(({ stage, torque, set, gives }) => (
            <li key={stage}>
              Set the wrench to <strong>{set}</strong>
              {isSame(set, torque) ? '' : ` for ${torque}`}
              {gives === set ? '' : ` (${gives} at the screw)`}
            </li>
          ))}
        </ul>
      )}
      {choice?.value === undefined ? null : <p class="choice">Take: {choice.value}</p>}
      {offer.wrench === undefined ? null : (
        <InstrumentChosen
          session={session}
          kind={offer.wrench}
          instruments={instruments}
          used={used}
          onChoose={choose}
        />
      )}
      {offer.together === undefined ? null : others.length === 0 ? (
        <SomebodyJoins session={session} actor={actor} role={offer.together} />
      ) : (
        <label>
          Together with
          <select
            value={together ?? others[0]}
            onChange={({ currentTarget }) => setTogether(currentTarget.value)}
          >
            {others.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </label>
      )}
      {offer.wait === undefined ? null : <Waiting session={session} wait={offer.wait} onOver={forget} />}
      <RefusalsShown plan={plan} refusals={refused} />
      <AllowForm session={session} actor={actor} refused={refused} onAllowed={forget} />
      {offer.photograph === true ? (
        <PictureTaken session={session} says="Take the picture" looks="main" onTaken={done} />
      ) : (
        <button type="button" class="main" onClick={() => done()}>
          Done
        </button>
      )}
      {stock === undefined ? null : <DrawerNoted session={session} actor={actor} stock={stock} />}
      {offer.wrench === undefined ? null : (
        <InstrumentNamed session={session} actor={actor} kind={offer.wrench} />
      )}
      {offer.photograph === true || isReferral(session) ? null : (
        <details class="aside-form">
          <summary>With a picture</summary>
          <p class="entry-hint">It is kept with the job, and the step is done with it.</p>
          <PictureTaken session={session} says="Take it, and the step is done" onTaken={done} />
        </details>
      )}
    </div>
  );
}

/** Whether two torques are the same, however many digits they are written with. */
function isSame(one: string, other: string): boolean {
  const [a, b] = [parseQuantity(one, 'torque'), parseQuantity(other, 'torque')];
  return 'quantity' in a && 'quantity' in b && a.quantity.value.equals(b.quantity.value);
}

/** A step that leads on to another procedure keeps no picture. */
const isReferral = ({ offers }: JobSession): boolean => offers.value.step?.act?.act === 'refer-to';

/** How long is still to be waited, by the time of the job. */
function Waiting({
  session,
  wait,
  onOver,
}: {
  readonly session: JobSession;
  readonly wait: string;
  /** What was said of waiting on no longer holds. */
  readonly onOver: () => void;
}) {
  const [now, setNow] = useState(() => Date.parse(session.now()));
  useEffect(() => {
    const tick = setInterval(() => setNow(Date.parse(session.now())), 1000);
    return () => clearInterval(tick);
  }, [session]);
  const waited = now - Date.parse(session.folded.value.job.since);
  const needed = millisecondsOf(wait);
  const isOver = waited >= needed;
  useEffect(() => {
    if (isOver) onOver();
  }, [isOver]);
  return (
    <p class="waiting" role="timer">
      {isOver ? `The ${wait} are over.` : `Still ${clockOf(needed - waited + 999)} of ${wait} to wait`}
    </p>
  );
}

function millisecondsOf(wait: string): number {
  const read = parseQuantity(wait, 'time');
  return 'quantity' in read ? Math.ceil(read.quantity.value.toNumber()) * 1000 : 0;
}

/** A picture goes to the server first; the step is done with its digest. */
function PictureTaken({
  session,
  says: action,
  looks = 'second',
  onTaken,
}: {
  readonly session: JobSession;
  readonly says: string;
  readonly looks?: 'main' | 'second';
  readonly onTaken: (photograph: Photograph) => void;
}) {
  const [says, setSays] = useState<string>();
  const send = async (file: File): Promise<void> => {
    setSays('The picture is being stored …');
    const came = await sendPicture<{ readonly digest: string }>(
      `${pathOf(session.document.job)}/photographs`,
      file,
    );
    if (came.came === 'document') {
      setSays(undefined);
      onTaken({ digest: came.document.digest, name: file.name });
    } else
      setSays(
        came.came === 'away'
          ? 'The server is not reached. A picture has to be stored before the step is done.'
          : `${came.problem.detail} ${came.problem.remedy}`,
      );
  };
  return (
    <>
      {says === undefined ? null : <p role="status">{says}</p>}
      <label class={`${looks} picture`}>
        {action}
        <input
          type="file"
          accept="image/png,image/jpeg,image/webp"
          onChange={({ currentTarget }) => {
            const file = currentTarget.files?.[0];
            // The same one can be chosen once more.
            currentTarget.value = '';
            if (file !== undefined) void send(file);
          }}
        />
      </label>
    </>
  );
}
