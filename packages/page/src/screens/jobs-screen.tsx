import { addressOf } from '../address.ts';
import type { JobState, JobSummary, JobsDocument } from '../link/documents.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';

/** The jobs of the store: those that are under way first. */
export function JobsScreen() {
  const { came, again } = useDocument<JobsDocument>('/jobs');
  return (
    <Masthead title="Jobs">
      <main class="page">
        <a class="main" href={addressOf('begin')}>
          Begin a job
        </a>
        <nav class="elsewhere" aria-label="For those who look over the work">
          <a href={addressOf('compare')}>Compare revisions</a>
        </nav>
        {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
        {came?.came === 'away' ? <AwayShown onAgain={again} /> : null}
        {came?.came === 'document' ? <Listed document={came.document} /> : null}
      </main>
      {came?.came === 'document' ? <Deferring deferral={came.document.deferral} /> : null}
    </Masthead>
  );
}

const isUnderWay = (state: JobState): boolean => state !== 'closed' && state !== 'abandoned';

function Listed({ document: { jobs, faults, more } }: { readonly document: JobsDocument }) {
  const latestFirst = [...jobs].sort((a, b) => (a.last < b.last ? 1 : -1));
  const open = latestFirst.filter(({ state }) => isUnderWay(state));
  const ended = latestFirst.filter(({ state }) => !isUnderWay(state));
  return (
    <>
      {jobs.length === 0 ? <p class="empty">No job has been begun in this store.</p> : null}
      <JobList title="Under way" jobs={open} />
      <JobList title="Ended" jobs={ended} />
      {more === undefined ? null : (
        <p class="empty">There are more than are shown: ferrule jobs list has them all.</p>
      )}
      {faults.length === 0 ? null : (
        <section>
          <h2>Records that cannot be relied on</h2>
          <ul class="plain-list">
            {faults.map(({ job, detail }) => (
              <li key={job}>
                {job}: {detail}
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  );
}

function JobList({ title, jobs }: { readonly title: string; readonly jobs: readonly JobSummary[] }) {
  if (jobs.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="job-list">
        {jobs.map((one) => (
          <li key={one.job}>
            <a href={addressOf('job', one.job)}>
              <strong>{words(one.procedure)}</strong>
              <span>
                {words(one.variant)}
                {one.engine === undefined ? '' : `, engine ${one.engine}`}
              </span>
              <span class="when">
                {stateWords[one.state]}, last {one.last.slice(0, 16).replace('T', ' ')}
              </span>
              <span class="who">{one.persons.join(', ')}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A name of a pack as words. */
const words = (name: string): string => {
  const text = name.replaceAll('-', ' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
};

const stateWords: Readonly<Record<JobState, string>> = {
  open: 'being worked on',
  parked: 'parked',
  held: 'on hold',
  closed: 'closed',
  abandoned: 'closed unfinished',
};
