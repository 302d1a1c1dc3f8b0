import { asideReasons, type RejudgedDocument, type RejudgedFrom } from '@ferrule/compare/document';
import { useState } from 'preact/hooks';
import { isOf } from './is-of.ts';
import { MeasureShown } from './measure-shown.tsx';
import { RowsShown } from './rows-shown.tsx';

/** The report: what came of each thing that is judged, then which jobs it is about, then what was left aside. */
export function ReportShown({ report }: { readonly report: RejudgedDocument }) {
  const [of, setOf] = useState('');
  const { from, rows, aside, asideCounts } = report;
  const showJobs = (name: string): void => {
    setOf(name);
    document.getElementById('jobs-touched')?.focus();
    document.getElementById('jobs-touched')?.scrollIntoView();
  };
  return (
    <>
      {from.map((one) => (
        <From
          key={`${one.digest} ${one.procedure} ${one.variant}`}
          from={one}
          report={report}
          onJobs={showJobs}
        />
      ))}
      {rows.length === 0 ? null : <RowsShown rows={rows} of={of} onOf={setOf} />}
      {aside.length === 0 ? null : (
        <section class="weighed">
          <h2>Left aside</h2>
          {Object.entries(asideCounts).map(([because, count]) => (
            <details key={because} class="change change-wording">
              <summary>
                {count} {because}: {whyAside(because)}
              </summary>
              <ul class="because">
                {aside
                  .filter((one) => one.because === because)
                  .slice(0, MOST_ASIDE)
                  .map(({ job, message }) => (
                    <li key={job}>
                      <b>{job}</b> {message}
                    </li>
                  ))}
                {count > MOST_ASIDE ? <li>and {count - MOST_ASIDE} more</li> : null}
              </ul>
            </details>
          ))}
        </section>
      )}
    </>
  );
}

const MOST_ASIDE = 100;

const whyAside = (because: string): string =>
  Object.entries(asideReasons).find(([name]) => name === because)?.[1] ?? '';

function From({
  from: { revision, overlay, procedure, variant, jobs, measures },
  report,
  onJobs,
}: {
  readonly from: RejudgedFrom;
  readonly report: RejudgedDocument;
  readonly onJobs: (of: string) => void;
}) {
  const all = Object.entries(measures);
  const touched = all.filter(([, { changes, tally }]) => changes.length > 0 || isTold(tally));
  return (
    <section class="weighed">
      <h2>
        Done by {revision}
        {overlay === undefined ? '' : ` with ${overlay}`}: {procedure}, {variant}
      </h2>
      <p class="lead-in">
        {jobs} {jobs === 1 ? 'job' : 'jobs'}. Of {all.length} things that are judged a change bears on{' '}
        {touched.length}.
      </p>
      {touched.map(([name, measure]) => (
        <MeasureShown
          key={name}
          name={name}
          measure={measure}
          pack={report.pack.id}
          revisions={[revision, report.revision]}
          onJobs={report.rows.some(({ of }) => isOf(of, name)) ? () => onJobs(name) : undefined}
        />
      ))}
    </section>
  );
}

/** Whether something in a tally is more than verdicts that are as they were. */
const isTold = (tally: Readonly<Record<string, number>>): boolean =>
  Object.keys(tally).some((what) => !/^(?:untouched|same) |^cannot not-taken$/.test(what));
