import { cannotReasons, type RejudgedRow, type RejudgedVerdict } from '@ferrule/compare/document';
import { tallyWords } from '@ferrule/print';
import { useMemo, useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { counted } from '../pack/counted.ts';
import { Pages } from '../pieces/pages.tsx';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { isOf } from './is-of.ts';

const JOBS_AT_ONCE = 25;

/** Every verdict that is not what it was, by the jobs that it is in. */
export function RowsShown({
  rows,
  of,
  onOf,
}: {
  readonly rows: readonly RejudgedRow[];
  readonly of: string;
  readonly onOf: (of: string) => void;
}) {
  const [sought, setSought] = useState('');
  const [became, setBecame] = useState('');
  const names = useMemo(() => [...new Set(rows.map((one) => one.of.replace(/@.*$/, '')))].sort(), [rows]);
  const outcomes = useMemo(() => [...new Set(rows.map(outcomeOf))].sort(), [rows]);
  const jobs = useMemo(() => {
    const job = sought.trim().toLowerCase();
    const found = new Map<string, RejudgedRow[]>();
    for (const one of rows) {
      if (of !== '' && !isOf(one.of, of)) continue;
      if (became !== '' && outcomeOf(one) !== became) continue;
      if (!one.job.includes(job)) continue;
      const some = found.get(one.job);
      if (some === undefined) found.set(one.job, [one]);
      else some.push(one);
    }
    return [...found];
  }, [rows, of, became, sought]);
  const count = jobs.reduce((sum, [, some]) => sum + some.length, 0);
  return (
    <section class="weighed">
      <h2 id="jobs-touched" tabIndex={-1}>
        Verdicts that are not what they were
      </h2>
      <form class="sieve sieve-rows" onSubmit={(event) => event.preventDefault()}>
        <label>
          Judged
          <select value={of} onChange={({ currentTarget }) => onOf(currentTarget.value)}>
            <option value="">Everything</option>
            {names.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </label>
        <label>
          What became of it
          <select value={became} onChange={({ currentTarget }) => setBecame(currentTarget.value)}>
            <option value="">Everything</option>
            {outcomes.map((one) => (
              <option key={one} value={one}>
                {tallyWords(one)}
              </option>
            ))}
          </select>
        </label>
        <label>
          Name of the job
          <input
            type="search"
            autocomplete="off"
            value={sought}
            onInput={({ currentTarget }) => setSought(currentTarget.value)}
          />
        </label>
        <p class="sieve-count" role="status">
          {counted(count, 'verdict', 'verdicts')} in {counted(jobs.length, 'job', 'jobs')}
        </p>
      </form>
      <Pages all={jobs} atOnce={JOBS_AT_ONCE} label="Jobs">
        {(shown) => (
          <ul class="touched">
            {shown.map(([job, some]) => (
              <li key={job}>
                <h3>
                  <a href={addressOf('job', job)}>{job}</a>
                  <PaperLink class="touched-card" to={paperOf.card(job)}>
                    Job card
                  </PaperLink>
                </h3>
                <ul>
                  {some.map((one) => (
                    <li key={`${one.of} ${one.seq}`} class="touched-row">
                      <span>
                        {one.of}
                        {one.seq === undefined ? '' : `, fact ${one.seq}`}
                      </span>
                      <Verdict label="then" verdict={one.was} />
                      {one.cannot === undefined ? (
                        <Verdict label="now" verdict={one.is} />
                      ) : (
                        <span>
                          <b>cannot be judged</b> {whyNot(one.cannot)} {one.readings?.join(', ')}
                        </span>
                      )}
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ul>
        )}
      </Pages>
    </section>
  );
}

/** What became of a verdict, by the words that a tally counts it by. */
const outcomeOf = ({ outcome, cannot, was, is }: RejudgedRow): string =>
  [
    outcome,
    ...(cannot === undefined
      ? [...(was === undefined ? [] : [was.verdict]), ...(is === undefined ? [] : [is.verdict])]
      : [cannot]),
  ]
    .join(' ')
    .replace(/^(changed \S+) /, '$1 to ');

const whyNot = (reason: string): string =>
  Object.entries(cannotReasons).find(([name]) => name === reason)?.[1] ?? reason;

function Verdict({
  label,
  verdict,
}: {
  readonly label: string;
  readonly verdict: RejudgedVerdict | undefined;
}) {
  if (verdict === undefined) return <span>{label} not judged</span>;
  const { verdict: word, value, limits, because } = verdict;
  return (
    <span>
      {label} <b class={`is-${word}`}>{word}</b> {value}
      <span class="side-other">
        {limits === undefined ? '' : `, limits ${limits}`}
        {because === undefined ? '' : `, ${because}`}
      </span>
    </span>
  );
}
