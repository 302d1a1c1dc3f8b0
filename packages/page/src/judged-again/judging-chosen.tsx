import { useState } from 'preact/hooks';
import { addressOf, goTo } from '../address.ts';
import { revisionOrder } from '../comparison/revision-order.ts';
import { call } from '../link/call.ts';
import type {
  BeginRejudging,
  PacksDocument,
  Problem,
  Rejudging,
  RejudgingDocument,
  RejudgingsDocument,
  ShelvedOverlay,
  ShelvedPack,
} from '../link/documents.ts';
import { makeId } from '../link/make-id.ts';
import { overlayIn } from '../link/overlay-in-query.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { localTime } from '../pieces/local-time.ts';
import { OverlayChosen, overlaysOf } from '../pieces/overlay-chosen.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { usePacksOfJobs } from '../pieces/use-packs-of-jobs.ts';
import { type WayOut, wayOut } from '../pieces/way-out.ts';
import { stateWords } from './state-words.ts';

/** By which revision jobs are to be judged, and what was judged before. */
export function JudgingChosen({ asked }: { readonly asked: string }) {
  const ofJobs = usePacksOfJobs();
  const packs = useDocument<PacksDocument>('/packs');
  const before = useDocument<RejudgingsDocument>('/rejudgings');
  return (
    <>
      <main class="page audit">
        <h2>By which revision?</h2>
        <p class="lead-in">
          Every job of the store is judged by it, with the readings and the instruments of then. No record is
          changed, and what comes of it is kept.
        </p>
        <Arrived {...packs}>
          {({ packs: all, overlays = [] }) => (
            <BeginForm packs={all} overlays={overlays} ofJobs={ofJobs} asked={asked} />
          )}
        </Arrived>
        {/* Where the packs do not come, the reason stands there once. */}
        {packs.came?.came === 'document' ? (
          <Arrived {...before}>{({ rejudgings }) => <Before rejudgings={rejudgings} />}</Arrived>
        ) : null}
      </main>
      {packs.came?.came === 'document' ? (
        <Deferring
          deferral={packs.came.document.deferral}
          notice={packs.came.document.packs.find(({ notice }) => notice !== undefined)?.notice}
        />
      ) : (
        <Deferring />
      )}
    </>
  );
}

/** Which revision somebody most likely wants who has not said: the newest one of a pack that has older ones, and jobs. */
function likeliest(whole: readonly ShelvedPack[], ofJobs: ReadonlySet<string>): ShelvedPack | undefined {
  const rank = ({ pack }: ShelvedPack): number =>
    (ofJobs.has(pack) ? 2 : 0) + (whole.filter((one) => one.pack === pack).length > 1 ? 1 : 0);
  return whole.reduce<ShelvedPack | undefined>(
    (best, one) => (best === undefined || rank(one) > rank(best) ? one : best),
    undefined,
  );
}

function BeginForm({
  packs,
  overlays,
  ofJobs,
  asked,
}: {
  readonly packs: readonly ShelvedPack[];
  readonly overlays: readonly ShelvedOverlay[];
  readonly ofJobs: ReadonlySet<string>;
  readonly asked: string;
}) {
  const whole = packs
    .filter(({ diagnostics }) => diagnostics.errors === 0)
    .sort((a, b) => (a.pack < b.pack ? -1 : a.pack > b.pack ? 1 : revisionOrder(b.revision, a.revision)));
  const [id, setId] = useState(makeId);
  const said = new URLSearchParams(asked);
  const [picked, setPicked] = useState<ShelvedPack | undefined>(() =>
    whole.find((one) => one.pack === said.get('pack') && one.revision === said.get('revision')),
  );
  const [overlay, setOverlay] = useState(() => overlayIn(asked));
  const [procedure, setProcedure] = useState('');
  const [isAll, setAll] = useState(false);
  const [fault, setFault] = useState<Problem | 'away'>();
  const chosen = picked ?? likeliest(whole, ofJobs);
  if (chosen === undefined) return <p class="empty">No pack without faults stands on the shelf.</p>;
  const { pack, revision } = chosen;
  const choose = (one: ShelvedPack | undefined): void => {
    if (one === undefined) return;
    setPicked(one);
    setOverlay(undefined);
    setProcedure('');
  };
  const begin = async (): Promise<void> => {
    const request: BeginRejudging = {
      ...{ id, pack: chosen.pack, revision: chosen.revision },
      ...(overlay === undefined ? {} : { overlay: { overlay: overlay.overlay, revision: overlay.revision } }),
      ...(procedure === '' ? {} : { procedure }),
      ...(isAll ? { all: true } : {}),
    };
    const came = await call<RejudgingDocument>('/rejudgings', request);
    setFault(came.came === 'problem' ? came.problem : came.came === 'away' ? 'away' : undefined);
    // Of an answer that never came it is not known what it was: then the same is asked again, under the same id.
    if (came.came === 'problem') setId(makeId());
    if (came.came === 'document') goTo(addressOf('judged', came.document.rejudging));
  };
  const laid = overlaysOf(overlays, pack);
  return (
    <form
      class="judging"
      onSubmit={(event) => {
        event.preventDefault();
        void begin();
      }}
    >
      <label>
        Pack
        <select
          value={pack}
          onChange={({ currentTarget }) => choose(whole.find((one) => one.pack === currentTarget.value))}
        >
          {whole
            .filter((one, index) => whole[index - 1]?.pack !== one.pack)
            .map((one) => (
              <option key={one.pack} value={one.pack}>
                {one.title ?? one.pack}
              </option>
            ))}
        </select>
      </label>
      <label>
        Revision
        <select
          value={revision}
          onChange={({ currentTarget }) =>
            choose(whole.find((one) => one.pack === pack && one.revision === currentTarget.value))
          }
        >
          {whole
            .filter((one) => one.pack === pack)
            .map((one) => (
              <option key={one.revision} value={one.revision}>
                {one.revision}
              </option>
            ))}
        </select>
      </label>
      <label>
        Procedure
        <select value={procedure} onChange={({ currentTarget }) => setProcedure(currentTarget.value)}>
          <option value="">All of them</option>
          {chosen.jobs.map((one) => (
            <option key={one.procedure} value={one.procedure}>
              {one.title}
            </option>
          ))}
        </select>
      </label>
      {laid.length === 0 ? null : (
        <OverlayChosen
          label="Overlay, for jobs that were begun with it"
          overlays={laid}
          revision={revision}
          chosen={overlay}
          onChosen={setOverlay}
        />
      )}
      <label class="check">
        <input
          type="checkbox"
          checked={isAll}
          onChange={({ currentTarget }) => setAll(currentTarget.checked)}
        />
        <span>Judge what has not changed as well: it has to come out as it is recorded</span>
      </label>
      {fault === undefined ? null : fault === 'away' ? (
        <AwayShown onAgain={() => void begin()} />
      ) : (
        <ProblemShown problem={fault} wayOut={outOfNoJobs} onAgain={() => void begin()} />
      )}
      <button type="submit" class="main">
        Judge the jobs
      </button>
    </form>
  );
}

/** A pack of which there are no jobs is no job that cannot be found. */
const outOfNoJobs = (problem: Problem): WayOut | undefined =>
  problem.code === 'no-such-job'
    ? {
        ...{ title: 'All jobs', to: addressOf('') },
        advice: 'Choose the pack, and the procedure, that the jobs were done by.',
      }
    : wayOut(problem);

function Before({ rejudgings }: { readonly rejudgings: readonly Rejudging[] }) {
  if (rejudgings.length === 0) return null;
  return (
    <section>
      <h2>Judged before</h2>
      <ul class="job-list">
        {rejudgings.map((one) => (
          <li key={one.rejudging}>
            <a href={addressOf('judged', one.rejudging)}>
              <strong>
                {one.title}, by {one.revision}
              </strong>
              <span>{one.says?.[0] ?? one.failure ?? `${one.jobs.done} of ${one.jobs.total} jobs`}</span>
              <span class="when">
                {stateWords[one.state]}, begun {localTime(one.begun)}
                {one.procedure === undefined ? '' : `, ${one.procedure} alone`}
                {one.overlay === undefined ? '' : `, with ${one.overlay.overlay} ${one.overlay.revision}`}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
