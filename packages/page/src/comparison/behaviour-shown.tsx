import type { ComparedPermitted, ComparisonDocument } from '@ferrule/compare/document';
import { Arrived } from '../pieces/arrived.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { TurningPair } from './turning-pair.tsx';

/** Running a revision and exploring it takes longer than any other document, in milliseconds. */
const PATIENCE = 120_000;

/** Offers what takes its time. */
export function AskBehaviour({ onAsk }: { readonly onAsk: () => void }) {
  return (
    <section class="weighed">
      <h2>What jobs come to</h2>
      <p>
        The newer revision can be run as well: the trials of the older one under it, a shortest way to what it
        permits, and how the crankshaft is turned. That takes some seconds, half a minute at most.
      </p>
      <button type="button" class="second" onClick={onAsk}>
        Run the newer revision
      </button>
    </section>
  );
}

/** What was found by running the newer revision, once it has been run. */
export function BehaviourAsked({ path }: { readonly path: string }) {
  const asked = useDocument<ComparisonDocument>(path, PATIENCE);
  return (
    <section class="weighed" aria-busy={asked.came === undefined}>
      <h2>What jobs come to</h2>
      {asked.came === undefined ? (
        <p role="status">
          Running the newer revision … <progress aria-label="The newer revision is being run" />
        </p>
      ) : null}
      <Arrived {...asked}>{(document) => <BehaviourShown document={document} />}</Arrived>
    </section>
  );
}

function BehaviourShown({
  document: { behaviour, changes, before, after },
}: {
  readonly document: ComparisonDocument;
}) {
  if (behaviour === undefined) return <p class="empty">This server has not run it.</p>;
  const { says, permits, trials, plans } = behaviour;
  return (
    <>
      <ul class="compared-says" tabIndex={-1}>
        {says.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      {permits.length === 0 ? null : <h3>What jobs may come to now</h3>}
      {permits.map((one) => (
        <Permitted
          key={`${one.change} ${one.says}`}
          permitted={one}
          about={changes[one.change]?.says ?? ''}
        />
      ))}
      {trials.others.length === 0 ? null : <h3>Trials of the older revision that come out otherwise</h3>}
      {trials.others.map(({ trial, procedure, variant, says: about, because }) => (
        <article key={trial} class="change change-trial">
          <p class="change-says">
            {trial}, {procedure} for {variant}: {about}
          </p>
          <ul class="because">
            {because.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </article>
      ))}
      {plans.length === 0 ? null : <h3>How the crankshaft is turned</h3>}
      {plans.map((one) => (
        <TurningPair key={one.variant} pair={one} names={[before.revision, after.revision]} />
      ))}
    </>
  );
}

function Permitted({ permitted, about }: { readonly permitted: ComparedPermitted; readonly about: string }) {
  const { says, found, way = [] } = permitted;
  return (
    <article class={found === 'way' ? 'change change-weaker' : 'change change-work'}>
      <p class="change-says">{says}</p>
      <p class="permitted-about">{about}</p>
      {way.length === 0 ? null : (
        <details>
          <summary>{wayWords(permitted)}</summary>
          <ol class="way-steps">
            {way.map(({ from, until, says: what, happens }) => (
              <li key={from} class={happens.length === 0 ? undefined : 'way-happens'}>
                <span class="way-number">{from === until ? from : `${from}–${until}`}</span>
                <div>
                  <p>{what}</p>
                  {happens.map((one) => (
                    <p key={one} class="way-what">
                      {one}
                    </p>
                  ))}
                </div>
              </li>
            ))}
          </ol>
        </details>
      )}
    </article>
  );
}

function wayWords({ procedure = '', variant = '', also = [], way = [] }: ComparedPermitted): string {
  const steps = way.at(-1)?.until ?? 0;
  const same = also.length === 0 ? '' : `; the same for ${also.join(', ')}`;
  return `A shortest way there, ${steps} ${steps === 1 ? 'step' : 'steps'} of ${procedure} for ${variant}${same}`;
}
