import type { ReadingsAgainst, ReadingsDocument } from '@ferrule/compare/document';
import { addressOf } from '../address.ts';
import { BinsShown } from './bins-shown.tsx';
import { CountedRows } from './counted-rows.tsx';

/** How it lies, for each pair of limits that it was held against: in all, by bore, by instrument. */
export function ReadingsShown({
  document: { title, says, against, struck, struckCount },
}: {
  readonly document: ReadingsDocument;
}) {
  return (
    <>
      <header class="compared">
        <h2>{title}</h2>
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
          <ul class="because">
            {struck.map(({ job, seq, of, value, by, reason }) => (
              <li key={`${job} ${seq}`}>
                <a href={addressOf('job', job)}>{job}</a>, fact {seq}: {of} {value}, struck by {by}: {reason}
              </li>
            ))}
            {struckCount > struck.length ? <li>and {struckCount - struck.length} more</li> : null}
          </ul>
        </details>
      )}
    </>
  );
}

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
