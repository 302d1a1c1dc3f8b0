import { useEffect, useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { type Called, call } from '../link/call.ts';
import type { BeginRejudging, RejudgingDocument } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { localTime } from '../pieces/local-time.ts';
import { wayOut } from '../pieces/way-out.ts';
import { ReportAsked } from './report-asked.tsx';
import { stateWords } from './state-words.ts';

/** Between two looks at one that is under way, in milliseconds. */
const EVERY = 1000;

/** One rejudging by its id: while it is under way how far it has come, and then what came of it. */
export function RejudgingScreen({ rejudging }: { readonly rejudging: string }) {
  const [came, setCame] = useState<Called<RejudgingDocument>>();
  const [looks, setLooks] = useState(0);
  const path = `/rejudgings/${encodeURIComponent(rejudging)}`;
  useEffect(() => {
    let isGone = false;
    let next: ReturnType<typeof setTimeout> | undefined;
    void call<RejudgingDocument>(path).then((answer) => {
      if (isGone) return;
      // While it is under way the server may be away for a moment: what was seen last stays.
      setCame((last) => (answer.came === 'away' && isUnderWay(last) ? last : answer));
      if (answer.came === 'away' || isUnderWay(answer))
        next = setTimeout(() => setLooks((one) => one + 1), EVERY);
    });
    return () => {
      isGone = true;
      clearTimeout(next);
    };
  }, [path, looks]);
  const again = (): void => setLooks((one) => one + 1);
  const send = async (to: string, body: unknown): Promise<void> => {
    setCame(await call<RejudgingDocument>(to, body));
    again();
  };
  return (
    <>
      <main class="page audit" aria-busy={came === undefined}>
        <Arrived came={came} again={again} wayOut={wayOut}>
          {(document) => (
            <>
              <header class="compared">
                <h2>{document.title}</h2>
                <p class="lead-in">
                  Judged by <b>{document.revision}</b>, {document.release}
                  {document.overlay === undefined
                    ? ''
                    : `, with ${document.overlay.overlay} ${document.overlay.revision}`}
                  {document.procedure === undefined ? '' : `; ${document.procedure} alone`}; begun{' '}
                  {localTime(document.begun)}
                </p>
              </header>
              {document.state === 'done' ? (
                <ReportAsked rejudging={document} path={`${path}/report`} />
              ) : (
                <Progress
                  document={document}
                  onStop={() => void send(`${path}/stop`, {})}
                  onGoOn={() => void send('/rejudgings', askedAgain(document))}
                />
              )}
            </>
          )}
        </Arrived>
      </main>
      {came?.came === 'document' ? (
        <Deferring
          deferral={came.document.deferral}
          notice={came.document.notice}
          pack={came.document.digest}
        />
      ) : (
        <Deferring />
      )}
    </>
  );
}

const isUnderWay = (came: Called<RejudgingDocument> | undefined): boolean =>
  came?.came === 'document' && came.document.state === 'under-way';

/** What was asked for, to be sent again under its id. */
const askedAgain = ({
  rejudging,
  pack,
  revision,
  overlay,
  procedure,
  all,
}: RejudgingDocument): BeginRejudging => ({
  ...{ id: rejudging, pack, revision },
  ...(overlay === undefined ? {} : { overlay }),
  ...(procedure === undefined ? {} : { procedure }),
  ...(all ? { all } : {}),
});

function Progress({
  document: { state, jobs, jobsPerSecond, remainingSeconds, failure },
  onStop,
  onGoOn,
}: {
  readonly document: RejudgingDocument;
  readonly onStop: () => void;
  readonly onGoOn: () => void;
}) {
  return (
    <section class="under-way">
      <progress
        aria-label="Jobs that are judged"
        value={jobs.total === 0 ? undefined : jobs.done}
        max={jobs.total === 0 ? undefined : jobs.total}
      />
      <p class="under-way-count">
        {jobs.total === 0 ? 'The store is being looked through.' : `${jobs.done} of ${jobs.total} jobs`}
        {state === 'under-way' ? rateWords(jobsPerSecond, remainingSeconds) : `; ${stateWords[state]}`}
      </p>
      {state === 'under-way' ? (
        <>
          <p class="lead-in">
            It goes on when this page is closed. Its address leads back to it, and to what came of it.
          </p>
          <button type="button" class="second" onClick={onStop}>
            Stop it
          </button>
        </>
      ) : null}
      {state === 'cut-off' ? (
        <>
          <p role="alert">The server ended before it was done. It goes on where it was.</p>
          <button type="button" class="main" onClick={onGoOn}>
            Take it up again
          </button>
        </>
      ) : null}
      {state === 'stopped' || state === 'failed' ? (
        <>
          <p role="alert">{failure ?? 'It was stopped, and what was done by then is not kept.'}</p>
          <a class="second" href={addressOf('judged')}>
            Judge anew
          </a>
        </>
      ) : null}
    </section>
  );
}

function rateWords(perSecond: number | undefined, seconds: number | undefined): string {
  if (perSecond === undefined || seconds === undefined) return '';
  const minutes = Math.ceil(seconds / 60);
  const left =
    seconds < 90
      ? `${seconds} s`
      : minutes < 90
        ? `${minutes} min`
        : `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return `, ${perSecond < 10 ? perSecond.toFixed(1) : Math.round(perSecond)} a second, about ${left} left`;
}
