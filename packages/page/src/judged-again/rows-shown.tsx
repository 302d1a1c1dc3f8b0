import { cannotReasons, type RejudgedRow, type RejudgedVerdict } from '@ferrule/compare/document';
import { useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { PaperLink, paperOf } from '../pieces/paper-link.tsx';
import { isOf } from './is-of.ts';

/** So many jobs stand on the page, and as many more each time that more are asked for. */
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
  const [most, setMost] = useState(JOBS_AT_ONCE);
  const names = [...new Set(rows.map((one) => one.of.replace(/@.*$/, '')))].sort();
  const found = rows.filter(
    (one) => (of === '' || isOf(one.of, of)) && one.job.includes(sought.trim().toLowerCase()),
  );
  const jobs = new Map<string, RejudgedRow[]>();
  for (const one of found) {
    const some = jobs.get(one.job);
    if (some === undefined) jobs.set(one.job, [one]);
    else some.push(one);
  }
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
          Name of the job
          <input
            type="search"
            autocomplete="off"
            value={sought}
            onInput={({ currentTarget }) => setSought(currentTarget.value)}
          />
        </label>
        <p class="sieve-count" role="status">
          {found.length} {found.length === 1 ? 'verdict' : 'verdicts'} in {jobs.size}{' '}
          {jobs.size === 1 ? 'job' : 'jobs'}
        </p>
      </form>
      <ul class="touched">
        {[...jobs].slice(0, most).map(([job, some]) => (
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
      {jobs.size > most ? (
        <button type="button" class="second" onClick={() => setMost(most + JOBS_AT_ONCE)}>
          More jobs
        </button>
      ) : null}
    </section>
  );
}

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
