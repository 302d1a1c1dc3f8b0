import type { RejudgedMeasure } from '@ferrule/compare/document';
import { tallyWords } from '@ferrule/print';
import { comparisonAddress } from '../comparison/comparison-address.ts';
import { SpansShown } from '../comparison/spans-shown.tsx';
import type { OverlayNamed } from '../link/documents.ts';
import { readingsAddress } from '../readings/readings-address.ts';
import { spanInWords } from './span-in-words.ts';
import { SpreadShown } from './spread-shown.tsx';
import { kindOfTally, TallyBar, TallyMark } from './tally-bar.tsx';

/** One thing that is judged: its limits then and now, what came of it in how many verdicts, and because of which changes. */
export function MeasureShown({
  name,
  measure: { title, limitsThen, limitsNow, changes, tally, spread },
  pack,
  revisions,
  laid,
  onJobs,
}: {
  readonly name: string;
  readonly measure: RejudgedMeasure;
  readonly pack: string;
  readonly revisions: readonly [then: string, now: string];
  /** The overlays that the jobs were begun with, and are judged by. */
  readonly laid: readonly [then: OverlayNamed | undefined, now: OverlayNamed | undefined];
  readonly onJobs: (() => void) | undefined;
}) {
  const [then, now] = [spanInWords(limitsThen), spanInWords(limitsNow)];
  const counted = Object.entries(tally).sort(([a], [b]) => kindOfTally(a).order - kindOfTally(b).order);
  return (
    <article class="change change-work">
      <h3>
        {title} <span class="side-place">{name}</span>
      </h3>
      <TallyBar tally={counted} />
      <ul class="tally">
        {counted.map(([what, count]) => (
          <li key={what}>
            <TallyMark what={what} />
            <b>{count}</b>
            <span>{tallyWords(what)}</span>
          </li>
        ))}
      </ul>
      <div class="change-two">
        <Limits label={`Then, ${revisions[0]}`} limits={limitsThen} />
        <Limits label={`Now, ${revisions[1]}`} limits={limitsNow} />
      </div>
      <div class="change-pictures">
        {then === undefined || now === undefined ? null : (
          <SpansShown pair={{ variants: [], before: then, after: now }} names={revisions} isOfAll={true} />
        )}
        {spread === undefined ? null : <SpreadShown spread={spread} revisions={revisions} />}
      </div>
      {changes.length === 0 ? null : (
        <p class="change-marks">
          <span>because of</span>
          {changes.map(({ change, pointer }) => (
            <a
              key={`${change} ${pointer}`}
              href={comparisonAddress({
                ...{ pack, before: revisions[0], after: revisions[1], sought: pointer },
                ...{ laidBefore: laid[0], laid: laid[1] },
              })}
            >
              {change} <span class="side-place">{pointer}</span>
            </a>
          ))}
        </p>
      )}
      <div class="compared-ways">
        {onJobs === undefined ? null : (
          <button type="button" class="second" onClick={onJobs}>
            Which jobs
          </button>
        )}
        {spread === undefined ? null : (
          <a class="second" href={readingsAddress(pack, name)}>
            By bore and instrument
          </a>
        )}
      </div>
    </article>
  );
}

function Limits({ label, limits }: { readonly label: string; readonly limits: string | undefined }) {
  return (
    <div class="side">
      <p class="side-label">{label}</p>
      <p class={limits === undefined ? 'empty' : 'side-value'}>{limits ?? 'no limits'}</p>
    </div>
  );
}
