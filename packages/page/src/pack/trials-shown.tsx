import { counted } from './counted.ts';
import type { CoverageTold, TrialsDocument, TrialTold, UnreachedTold } from './examination.ts';
import { LineMark } from './line-mark.tsx';
import { PlaceNamed } from './place-shown.tsx';

/** How each trial has come out, and what none of them has reached. */
export function TrialsShown({ document: { trials, coverage } }: { readonly document: TrialsDocument }) {
  const failed = trials.filter(({ failures }) => failures.length > 0);
  const passed = trials.filter(({ failures }) => failures.length === 0);
  return (
    <>
      <p class="sum">
        {trials.length === 0
          ? 'This pack has no trials.'
          : failed.length === 0
            ? `${counted(trials.length, 'trial comes', 'trials come')} out as expected.`
            : `${failed.length} of ${counted(trials.length, 'trial', 'trials')} ${failed.length === 1 ? 'comes' : 'come'} out otherwise than expected.`}
      </p>
      {failed.length === 0 ? null : (
        <section>
          <h2>Otherwise than expected</h2>
          <ol class="trials">
            {failed.map((one) => (
              <TrialShown key={one.trial} trial={one} />
            ))}
          </ol>
          <p class="empty">What these have gone through is not counted as reached.</p>
        </section>
      )}
      {coverage.map((one) => (
        <CoverageShown key={one.procedure} coverage={one} />
      ))}
      {passed.length === 0 ? null : (
        <details>
          <summary>{counted(passed.length, 'trial as expected', 'trials as expected')}</summary>
          <ol class="trials">
            {passed.map((one) => (
              <TrialShown key={one.trial} trial={one} />
            ))}
          </ol>
        </details>
      )}
    </>
  );
}

function TrialShown({
  trial: { trial, says, variant, facts, failures, place },
}: {
  readonly trial: TrialTold;
}) {
  const isExpected = failures.length === 0;
  return (
    <li class={isExpected ? 'trial' : 'trial trial-otherwise'}>
      <p class="finding-head">
        <LineMark line={isExpected ? 'through' : 'broken'} />
        <strong>{trial}</strong>
        <span class="code">{variant}</span>
        {isExpected ? null : <PlaceNamed place={place} />}
      </p>
      <p>{says}</p>
      {isExpected ? null : (
        <ul class="failures">
          {failures.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
      )}
      <p class="empty">{facts === 0 ? 'tries a single act' : counted(facts, 'fact', 'facts')}</p>
    </li>
  );
}

/** What is counted together, where its name alone does not say it. */
const groupWords: Readonly<Record<string, string>> = {
  outcomes: 'outcomes of checks and choices',
  aside: 'steps left out, strikes, parking',
};

/** What can be reached of a procedure and what was, engine by engine, as bars along a scale. */
function CoverageShown({ coverage: { title, variants, unreached } }: { readonly coverage: CoverageTold }) {
  const groups = (variants[0]?.groups ?? []).map(({ group }) => group);
  const of = (standing: UnreachedTold['standing']) => unreached.filter((one) => one.standing === standing);
  const [none, some, never] = [of('unreached'), of('reached-for-some'), of('unreachable')];
  return (
    <section class="coverage">
      <h2>{`What trials reach: ${title}`}</h2>
      <ul class="reached">
        {groups.map((group, index) => (
          <li key={group}>
            <span class="reached-group">{groupWords[group] ?? group}</span>
            {variants.every((one) => one.groups[index]?.of === 0) ? (
              <span class="reached-nothing">there are none in this procedure</span>
            ) : null}
            {variants.map((one) => {
              const counts = one.groups[index];
              return counts === undefined || counts.of === 0 ? null : (
                <ReachedBar
                  key={one.variant}
                  title={variants.length > 1 ? one.title : undefined}
                  reached={counts.reached}
                  of={counts.of}
                />
              );
            })}
          </li>
        ))}
      </ul>
      {none.length === 0 ? (
        <p>Everything that can be reached is reached for some engine.</p>
      ) : (
        <>
          <h3>{counted(none.length, 'place', 'places')} that no trial reaches</h3>
          <UnreachedList items={none} />
          <p class="entry-hint">
            <code>ferrule trial --write-missing</code> drafts trials for them. A draft says what the pack
            does; whether that was meant, only a person can say.
          </p>
        </>
      )}
      {some.length === 0 ? null : (
        <details>
          <summary>{`${some.length} reached for some engines only`}</summary>
          <UnreachedList items={some} />
        </details>
      )}
      {never.length === 0 ? null : (
        <details>
          <summary>{`${never.length} that no trial can reach`}</summary>
          <UnreachedList items={never} />
        </details>
      )}
    </section>
  );
}

/** More than this are told file by file. */
const MOST_AT_ONCE = 30;

function UnreachedList({ items }: { readonly items: readonly UnreachedTold[] }) {
  if (items.length <= MOST_AT_ONCE) return <UnreachedPlaces items={items} />;
  const files = [...new Set(items.map(({ place }) => place?.file ?? ''))];
  return (
    <>
      {files.map((file) => {
        const some = items.filter(({ place }) => (place?.file ?? '') === file);
        return (
          <details key={file}>
            <summary>{`${file === '' ? 'The pack as a whole' : file}: ${some.length}`}</summary>
            <UnreachedPlaces items={some} />
          </details>
        );
      })}
    </>
  );
}

const UnreachedPlaces = ({ items }: { readonly items: readonly UnreachedTold[] }) => (
  <ol class="unreached">
    {items.map((one, index) => (
      <li key={index}>
        <span>{one.why}</span> <PlaceNamed place={one.place} />
      </li>
    ))}
  </ol>
);

function ReachedBar({
  title,
  reached,
  of,
}: {
  readonly title: string | undefined;
  readonly reached: number;
  readonly of: number;
}) {
  const share = (reached / of) * 100;
  return (
    <div class="reached-bar">
      {title === undefined ? null : <span class="reached-engine">{title}</span>}
      <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
        <path class="scale" d="M0 5H100" />
        {reached === 0 ? null : <path class="covered" d={`M0 5H${share.toFixed(2)}`} />}
      </svg>
      <span class="reached-count">{`${reached} of ${of}`}</span>
    </div>
  );
}
