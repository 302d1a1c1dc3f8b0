import { asideReasons, type RejudgedDocument, type RejudgedFrom } from '@ferrule/compare/document';
import { useMemo, useState } from 'preact/hooks';
import type { OverlayNamed } from '../link/documents.ts';
import { Pages } from '../pieces/pages.tsx';
import { isOf } from './is-of.ts';
import { MeasureShown } from './measure-shown.tsx';
import { RowsShown } from './rows-shown.tsx';

/** The report: what came of each thing that is judged, then which jobs it is about, then what was left aside. */
export function ReportShown({
  report,
  laid,
}: {
  readonly report: RejudgedDocument;
  /** The overlay by which jobs are judged that were begun with it. */
  readonly laid: OverlayNamed | undefined;
}) {
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
          laid={laid}
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
              <Aside aside={aside} because={because} count={count} />
            </details>
          ))}
        </section>
      )}
    </>
  );
}

const FILES_AT_ONCE = 100;

/** Files that were left aside for one reason. A report names the first of very many. */
function Aside({
  aside,
  because,
  count,
}: Pick<RejudgedDocument, 'aside'> & { readonly because: string; readonly count: number }) {
  const some = useMemo(() => aside.filter((one) => one.because === because), [aside, because]);
  return (
    <>
      <Pages all={some} atOnce={FILES_AT_ONCE} label="Files">
        {(shown) => (
          <ul class="because">
            {shown.map(({ job, message }) => (
              <li key={job}>
                <b>{job}</b> {message}
              </li>
            ))}
          </ul>
        )}
      </Pages>
      {count > some.length ? (
        <p class="empty">
          The report names {some.length} of these {count}.
        </p>
      ) : null}
    </>
  );
}

const whyAside = (because: string): string =>
  Object.entries(asideReasons).find(([name]) => name === because)?.[1] ?? '';

function From({
  from: { revision, overlay, procedure, variant, jobs, measures },
  report,
  laid,
  onJobs,
}: {
  readonly from: RejudgedFrom;
  readonly report: RejudgedDocument;
  readonly laid: OverlayNamed | undefined;
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
          laid={overlay === undefined ? [undefined, undefined] : [overlayNamed(overlay), laid]}
          onJobs={report.rows.some(({ of }) => isOf(of, name)) ? () => onJobs(name) : undefined}
        />
      ))}
    </section>
  );
}

/** `lee-quay 1.0.0` */
function overlayNamed(words: string): OverlayNamed {
  const [overlay = '', revision = ''] = words.split(' ');
  return { overlay, revision };
}

/** Whether something in a tally is more than verdicts that are as they were. */
const isTold = (tally: Readonly<Record<string, number>>): boolean =>
  Object.keys(tally).some((what) => !/^(?:untouched|same) |^cannot not-taken$/.test(what));
