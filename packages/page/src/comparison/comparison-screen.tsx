import type { ComparisonDocument } from '@ferrule/compare/document';
import { useState } from 'preact/hooks';
import { addressOf } from '../address.ts';
import { judgingAddress } from '../judged-again/judging-address.ts';
import type { OverlayNamed } from '../link/documents.ts';
import { overlayIn } from '../link/overlay-in-query.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { PaperLink } from '../pieces/paper-link.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { wayOut } from '../pieces/way-out.ts';
import { AskBehaviour, BehaviourAsked } from './behaviour-shown.tsx';
import { ChangesShown } from './changes-shown.tsx';
import { overlaysInQuery } from './comparison-address.ts';
import { NumberStairs } from './number-stairs.tsx';

/** One comparison, from what has to be known first to the last word that is otherwise. */
export function ComparisonScreen({
  pack,
  before,
  after,
  sought,
  asked: laid,
}: {
  readonly pack: string;
  readonly before: string;
  readonly after: string;
  readonly sought: string | undefined;
  /** The overlays that are laid over the two, as a query. */
  readonly asked: string;
}) {
  const overlays = overlaysInQuery(overlayIn(laid, 'overlayBefore'), overlayIn(laid));
  const path = `/packs/${encodeURIComponent(pack)}/${encodeURIComponent(after)}/comparison?with=${encodeURIComponent(before)}${overlays === '' ? '' : `&${overlays}`}`;
  const asked = useDocument<ComparisonDocument>(path);
  const [isRun, setRun] = useState(false);
  return (
    <>
      <main class="page audit" aria-busy={asked.came === undefined}>
        {asked.came === undefined ? <p class="empty">Comparing …</p> : null}
        <Arrived {...asked} wayOut={wayOut}>
          {(document) => (
            <>
              <Head
                document={document}
                print={`${path}&form=html${isRun ? '&behaviour=yes' : ''}`}
                laid={overlayIn(laid)}
              />
              {document.changes.length === 0 ? null : (
                <ChangesShown document={document} begin={sought ?? ''} />
              )}
              {document.changes.length === 0 ? null : isRun ? (
                <BehaviourAsked path={`${path}&behaviour=yes`} />
              ) : (
                <AskBehaviour onAsk={() => setRun(true)} />
              )}
            </>
          )}
        </Arrived>
      </main>
      {asked.came?.came === 'document' ? <Feet document={asked.came.document} /> : <Deferring />}
    </>
  );
}

function Head({
  document,
  print,
  laid,
}: {
  readonly document: ComparisonDocument;
  readonly print: string;
  readonly laid: OverlayNamed | undefined;
}) {
  const { pack, before, after, says, bump, account } = document;
  return (
    <header class="compared">
      <h2>{pack.title}</h2>
      <p class="compared-numbers">
        <span>
          {before.revision}
          <Laid overlay={before.overlay} />
        </span>
        <svg viewBox="0 0 40 20" role="img" aria-label="and now">
          <path d="M2 10h34M28 3l8 7-8 7" />
        </svg>
        <span>
          {after.revision}
          <Laid overlay={after.overlay} />
        </span>
      </p>
      <div class="compared-first">
        <ul class="compared-says">
          {says.map((one) => (
            <li key={one}>{one}</li>
          ))}
        </ul>
        {/* Of overlays over one and the same revision no number says anything. */}
        {before.revision === after.revision && document.changes.length > 0 ? null : (
          <NumberStairs bump={bump} before={before.revision} after={after.revision} />
        )}
      </div>
      {account.findings.length === 0 ? null : (
        <section class="unowned">
          <h3>Not owned up to</h3>
          <ul>
            {account.findings.map(({ says: one }) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </section>
      )}
      <div class="compared-ways">
        <PaperLink class="second" to={print}>
          As a page to print
        </PaperLink>
        {document.changes.length === 0 ? null : (
          <a class="second" href={judgingAddress(pack.id, after.revision, laid)}>
            Judge jobs by {after.revision}
          </a>
        )}
        <a class="second" href={addressOf('compare')}>
          Two other revisions
        </a>
      </div>
    </header>
  );
}

const Laid = ({ overlay }: { readonly overlay: ComparisonDocument['before']['overlay'] | undefined }) =>
  overlay === undefined ? null : (
    <small class="compared-laid">
      with {overlay.id} {overlay.revision}
    </small>
  );

/** What both revisions are known by, and whom the comparison defers to. */
function Feet({ document: { pack, before, after, deferral } }: { readonly document: ComparisonDocument }) {
  const notices = [...new Set([before.notice, after.notice].flatMap((one) => one ?? []))];
  return (
    <>
      <section class="pins" aria-label="What was compared">
        {(
          [
            ['Before', before],
            ['Now', after],
          ] as const
        ).map(([label, { revision, release, digest, overlay, libraries }]) => (
          <dl key={label}>
            <dt>{label}</dt>
            <dd>
              {pack.id} {revision}, {release}
              {overlay === undefined ? '' : `, with ${overlay.id} ${overlay.revision}`}
              {libraries.map((one) => `, takes from ${one.id} ${one.revision}`)}
            </dd>
            <dd class="digest">{digest}</dd>
          </dl>
        ))}
      </section>
      <Deferring deferral={deferral} notice={notices.join(' ') || undefined} />
    </>
  );
}
