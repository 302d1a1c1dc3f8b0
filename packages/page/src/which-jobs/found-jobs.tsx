import { useEffect, useRef, useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { call } from '../link/call.ts';
import type { JobSummary, JobsDocument } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { leadToAnswer } from '../pieces/ask-in-address.ts';
import { localTime } from '../pieces/local-time.ts';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { useDocument } from '../pieces/use-document.ts';

const JOBS_AT_ONCE = 50;

/** The jobs that were found, some at a time as the server lists them. */
export function FoundJobs({ asked }: { readonly asked: string }) {
  const first = useDocument<JobsDocument>(`/jobs?${asked === '' ? '' : `${asked}&`}limit=${JOBS_AT_ONCE}`);
  return (
    <>
      {first.came === undefined ? <p class="empty">Looking …</p> : null}
      <Arrived {...first}>{(document) => <Found asked={asked} document={document} />}</Arrived>
    </>
  );
}

function Found({ asked, document }: { readonly asked: string; readonly document: JobsDocument }) {
  const [jobs, setJobs] = useState(document.jobs);
  const [isMore, setMore] = useState(document.more !== undefined);
  const [hasFailed, setFailed] = useState(false);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => leadToAnswer(asked, heading.current), [asked]);
  useEffect(() => {
    setJobs(document.jobs);
    setMore(document.more !== undefined);
  }, [document]);
  const further = async (): Promise<void> => {
    const wanted = new URLSearchParams(asked);
    wanted.set('limit', String(JOBS_AT_ONCE));
    wanted.set('after', jobs.at(-1)?.job ?? '');
    const came = await call<JobsDocument>(`/jobs?${wanted}`);
    setFailed(came.came !== 'document');
    if (came.came !== 'document') return;
    setJobs([...jobs, ...came.document.jobs]);
    setMore(came.document.more !== undefined);
  };
  return (
    <section class="weighed">
      <h2 tabIndex={-1} ref={heading}>
        What was found
      </h2>
      <p class="lead-in" role="status">
        {jobs.length === 0
          ? asked === ''
            ? 'No job has been begun in this store.'
            : 'No job of this store has all of that in its record.'
          : `${jobs.length} ${jobs.length === 1 ? 'job' : 'jobs'}${isMore ? ', and there are more' : ''}`}
      </p>
      {jobs.length > 0
        ? null
        : document.unknown?.map(({ name, says }) => (
            <p key={name} class="lead-in">
              {says}
            </p>
          ))}
      <ul class="touched">
        {jobs.map((one) => (
          <li key={one.job}>
            <FoundJob job={one} />
          </li>
        ))}
      </ul>
      {hasFailed ? <p role="alert">The server did not give the next ones. Try again.</p> : null}
      {isMore ? (
        <button type="button" class="second" onClick={() => void further()}>
          More jobs
        </button>
      ) : null}
      {document.faults.length === 0 ? null : (
        <p class="empty">
          {document.faults.length} {document.faults.length === 1 ? 'record' : 'records'} of the store cannot
          be relied on, and may be one of those that are looked for:{' '}
          {document.faults.map(({ job }) => job).join(', ')}
        </p>
      )}
    </section>
  );
}

function FoundJob({ job: one }: { readonly job: JobSummary }) {
  return (
    <>
      <h3>
        <a href={addressOf('job', one.job)}>{one.job}</a>
        <PaperLink class="touched-card" to={paperOf.card(one.job)}>
          Job card
        </PaperLink>
      </h3>
      <p class="found-of">
        {one.procedure} of {one.pack.id} {one.pack.revision}, {one.variant}
        {one.engine === undefined ? '' : `, engine ${one.engine}`}
      </p>
      <p class="side-other">
        {one.state}, {localTime(one.started)} to {localTime(one.last)}; {one.nonconforming}{' '}
        {one.nonconforming === 1 ? 'verdict' : 'verdicts'} nonconforming
      </p>
      <dl class="found-with">
        <Listed label="Persons" texts={one.persons} />
        <Listed label="Instruments" texts={one.instruments} />
        <Listed label="Parts" texts={one.parts} />
        <Listed label="Lots" texts={one.lots} />
        <Listed label="Holds" texts={one.holds} />
        <Listed label="Concessions" texts={one.granted.map(({ of, by }) => `${of}, given by ${by}`)} />
      </dl>
    </>
  );
}

function Listed({ label, texts }: { readonly label: string; readonly texts: readonly string[] }) {
  return texts.length === 0 ? null : (
    <div>
      <dt>{label}</dt>
      <dd>{texts.join(', ')}</dd>
    </div>
  );
}
