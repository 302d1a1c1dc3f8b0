import { addressOf } from '../address.ts';
import type { JobState, JobSummary, JobsDocument, PacksDocument, ShelvedPack } from '../link/documents.ts';
import { Deferring } from '../pieces/deferring.tsx';
import { KeptJobs } from '../pieces/kept-jobs.tsx';
import { localTime } from '../pieces/local-time.ts';
import { Masthead } from '../pieces/masthead.tsx';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { WaitingHere } from '../pieces/waiting-here.tsx';

/** Where leads and auditors go on, and what each of these screens answers. */
const lookedOver = [
  {
    ...{ screen: 'find', title: 'Which jobs' },
    leads: 'In which an instrument, a part or a lot was used, and what became of them.',
  },
  {
    ...{ screen: 'readings', title: 'Readings against a limit' },
    leads: 'How what was measured in all jobs lies between its limits.',
  },
  {
    ...{ screen: 'pack', title: 'Look into a pack' },
    leads: 'What is wrong with it, what is proved of it, and how its trials come out.',
  },
  {
    ...{ screen: 'compare', title: 'Compare revisions' },
    leads: 'What the newer one has otherwise, and whether it protects less.',
  },
  {
    ...{ screen: 'judged', title: 'Judge jobs again' },
    leads: 'Which verdicts on finished jobs come out otherwise by another revision.',
  },
] as const;

/** The jobs of the store: those that are under way first. */
export function JobsScreen() {
  const { came, again } = useDocument<JobsDocument>('/jobs');
  const shelf = useDocument<PacksDocument>('/packs').came;
  const packs = shelf?.came === 'document' ? shelf.document.packs : [];
  return (
    <Masthead title="Jobs">
      <main class="page">
        <a class="main" href={addressOf('begin')}>
          Begin a job
        </a>
        <a class="second" href={addressOf('procedures')}>
          Procedures and sheets
        </a>
        {came?.came === 'problem' ? <ProblemShown problem={came.problem} onAgain={again} /> : null}
        {came?.came === 'away' ? (
          <>
            <AwayShown onAgain={again} />
            <KeptJobs />
          </>
        ) : null}
        {came?.came === 'document' ? <WaitingHere /> : null}
        {came?.came === 'document' ? <Listed document={came.document} packs={packs} /> : null}
        <nav class="elsewhere" aria-labelledby="elsewhere">
          <h2 id="elsewhere">For those who look over the work</h2>
          <ul>
            {lookedOver.map(({ screen, title, leads }) => (
              <li key={screen}>
                <a href={addressOf(screen)}>{title}</a>
                <p class="entry-hint">{leads}</p>
              </li>
            ))}
          </ul>
        </nav>
      </main>
      <Deferring notice={packs.find(({ notice }) => notice !== undefined)?.notice} />
    </Masthead>
  );
}

const isUnderWay = (state: JobState): boolean => state !== 'closed' && state !== 'abandoned';

function Listed({
  document: { jobs, faults, more },
  packs,
}: {
  readonly document: JobsDocument;
  readonly packs: readonly ShelvedPack[];
}) {
  const latestFirst = [...jobs].sort((a, b) => (a.last < b.last ? 1 : -1));
  const open = latestFirst.filter(({ state }) => isUnderWay(state));
  const ended = latestFirst.filter(({ state }) => !isUnderWay(state));
  return (
    <>
      {jobs.length === 0 ? <p class="empty">No job has been begun in this store.</p> : null}
      <JobList title="Under way" jobs={open} packs={packs} />
      <JobList title="Ended" jobs={ended} packs={packs} />
      {more === undefined ? null : (
        <p class="empty">There are more than are shown: “Which jobs” finds them.</p>
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

function JobList({
  title,
  jobs,
  packs,
}: {
  readonly title: string;
  readonly jobs: readonly JobSummary[];
  readonly packs: readonly ShelvedPack[];
}) {
  if (jobs.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="job-list">
        {jobs.map((one) => {
          const said = titlesOf(one, packs);
          return (
            <li key={one.job}>
              <a href={addressOf('job', one.job)}>
                <strong>{said.procedure}</strong>
                <span>
                  {said.variant}
                  {one.engine === undefined ? '' : `, engine ${one.engine}`}
                </span>
                <span class="when">
                  {stateWords[one.state]}, last <time>{localTime(one.last)}</time>
                </span>
                <span class="who">{one.persons.join(', ')}</span>
              </a>
              <PaperLink to={paperOf.card(one.job)}>Job card</PaperLink>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

/** What procedure and engine of a job are called in its pack, or, where that is no longer on the shelf, their names as words. */
function titlesOf(
  { pack, procedure, variant }: JobSummary,
  packs: readonly ShelvedPack[],
): { readonly procedure: string; readonly variant: string } {
  const found = packs
    .find((one) => one.pack === pack.id && one.revision === pack.revision)
    ?.jobs.find((one) => one.procedure === procedure);
  return {
    procedure: found?.title ?? words(procedure),
    variant: found?.variants.find((one) => one.variant === variant)?.title ?? words(variant),
  };
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
