import type { ReadingsAgainst, ReadingsDocument } from '@ferrule/compare/document';
import { useEffect, useRef } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { leadToAnswer } from '../pieces/ask-in-address.ts';
import { Pages } from '../pieces/pages.tsx';
import { BinsShown } from './bins-shown.tsx';
import { CountedRows } from './counted-rows.tsx';

/** How it lies, for each pair of limits that it was held against: in all, by bore, by instrument. */
export function ReadingsShown({
  document: { title, says, against, struck, struckCount, faults, faultCount },
  asked,
}: {
  readonly document: ReadingsDocument;
  readonly asked: string;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => leadToAnswer(asked, heading.current), [asked]);
  return (
    <>
      <header class="compared">
        <h2 tabIndex={-1} ref={heading}>
          {title}
        </h2>
        <ul class="compared-says">
          {says.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      </header>
      {against.map((one) => (
        <Against key={`${one.procedure} ${one.of} ${one.limits} ${one.revisions.join()}`} against={one} />
      ))}
      {struckCount === 0 ? null : (
        <details class="weighed">
          <summary>
            <h2>Struck, and left out</h2>
          </summary>
          <Pages all={struck} atOnce={LISTED_AT_ONCE} label="Struck values">
            {(some) => (
              <ul class="because">
                {some.map(({ job, seq, of, value, by, reason }) => (
                  <li key={`${job} ${seq}`}>
                    <a href={addressOf('job', job)}>{job}</a>, fact {seq}: {of} {value}, struck by {by}:{' '}
                    {reason}
                  </li>
                ))}
              </ul>
            )}
          </Pages>
          {struckCount > struck.length ? <First listed={struck.length} of={struckCount} /> : null}
        </details>
      )}
      {faultCount === 0 ? null : (
        <details class="weighed">
          <summary>
            <h2>Files that are left out</h2>
          </summary>
          <Pages all={faults} atOnce={LISTED_AT_ONCE} label="Files">
            {(some) => (
              <ul class="because">
                {some.map(({ job, message }) => (
                  <li key={job}>
                    <b>{job}</b> {message}
                  </li>
                ))}
              </ul>
            )}
          </Pages>
          {faultCount > faults.length ? <First listed={faults.length} of={faultCount} /> : null}
        </details>
      )}
    </>
  );
}

const LISTED_AT_ONCE = 100;

const First = ({ listed, of }: { readonly listed: number; readonly of: number }) => (
  <p class="empty">
    The first {listed} of {of} are named. Ask for fewer days, or one revision, to see the others.
  </p>
);

function Against({ against: one }: { readonly against: ReadingsAgainst }) {
  const { title, of, limits, revisions, variants, jobs, byBore, byInstrument } = one;
  return (
    <article class="change change-work">
      <h3>
        {title}, {limits} <span class="side-place">{of}</span>
      </h3>
      <p class="side-other">
        {revisions.join(', ')}; {variants.join(', ')}; {jobs} {jobs === 1 ? 'job' : 'jobs'}
      </p>
      <Bins against={one} />
      <CountedRows
        title="In all and by bore"
        against={one}
        rows={[
          { name: 'in all', counted: one.counted },
          ...byBore.map(({ place, counted }) => ({ name: place, counted })),
        ]}
      />
      {byInstrument.length === 0 ? null : (
        <CountedRows
          title="By instrument"
          against={one}
          rows={byInstrument.map(({ instrument, counted }) => ({ name: instrument, counted }))}
        />
      )}
    </article>
  );
}

function Bins({ against: { bins, low, high } }: { readonly against: ReadingsAgainst }) {
  if (bins === undefined) return null;
  const posts = [
    ...(low === undefined ? [] : [{ at: Number(low.number), text: low.text, isLow: true }]),
    ...(high === undefined ? [] : [{ at: Number(high.number), text: high.text, isLow: false }]),
  ];
  return (
    <BinsShown
      edges={bins.edges.map(({ number }) => Number(number))}
      counts={bins.counts}
      posts={posts}
      words={`${bins.below} below the limits, ${bins.inside} inside, ${bins.above} above`}
    />
  );
}
