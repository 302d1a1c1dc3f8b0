import type { ComponentChildren } from 'preact';
import { addressOf, goTo } from '../address.ts';
import type { OverlayNamed, PacksDocument } from '../link/documents.ts';
import { overlayIn, overlayInQuery } from '../link/overlay-in-query.ts';
import { ChoosePack } from '../pack/choose-pack.tsx';
import type { CheckDocument, TrialsDocument } from '../pack/examination.ts';
import { ExaminationShown } from '../pack/examination-shown.tsx';
import { FindingsShown } from '../pack/findings-shown.tsx';
import { packAddress } from '../pack/pack-address.ts';
import { PackParts } from '../pack/pack-parts.tsx';
import { PackWays } from '../pack/pack-ways.tsx';
import { ProofShown } from '../pack/proof-shown.tsx';
import { TrialsShown } from '../pack/trials-shown.tsx';
import { WayShown } from '../pack/way-shown.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import { OverlayChosen, overlaysOf } from '../pieces/overlay-chosen.tsx';
import { useDocument } from '../pieces/use-document.ts';
import '../style/pack.css';

/** For whoever writes packs: what is wrong with one, what is proved of it, and what its trials show. */
export function PackScreen({
  pack,
  revision,
  part,
  number,
  asked,
}: {
  readonly pack: string | undefined;
  readonly revision: string | undefined;
  readonly part: string | undefined;
  readonly number: string | undefined;
  readonly asked: string;
}) {
  if (pack === undefined || revision === undefined)
    return (
      <Masthead title="Packs" back="#/">
        <ChoosePack />
      </Masthead>
    );
  const overlay = overlayIn(asked);
  const of = { pack, revision, overlay };
  const base = `/packs/${encodeURIComponent(pack)}/${encodeURIComponent(revision)}`;
  const laid = overlayInQuery(overlay?.overlay, overlay?.revision);
  const isWay = part === 'way';
  const at = part === 'proof' || part === 'trials' ? part : isWay ? undefined : 'found';
  const named = `${revision}${overlay === undefined ? '' : ` with ${overlay.overlay} ${overlay.revision}`}`;
  return (
    <Masthead
      title={isWay ? 'The way to a fault' : pack}
      under={isWay ? `${pack} ${named}` : named}
      back={isWay ? packAddress(of, 'proof') : addressOf('pack')}
      backTo={isWay ? 'What is proved' : 'All packs'}
    >
      <PackParts of={of} at={at} />
      {isWay ? null : <OverlayLaid {...of} part={at ?? 'found'} />}
      {part === 'trials' ? (
        <ExaminationShown<TrialsDocument> key="trials" path={`${base}/trials${laid}`}>
          {(document) => (
            <Told document={document}>
              <TrialsShown document={document} />
            </Told>
          )}
        </ExaminationShown>
      ) : (
        <ExaminationShown<CheckDocument> key="check" path={`${base}/check${laid}`}>
          {(document) => (
            <Told document={document}>
              {isWay ? (
                <WayShown document={document} number={Number(number)} />
              ) : part === 'proof' ? (
                <ProofShown document={document} number={number === undefined ? undefined : Number(number)} />
              ) : (
                <FindingsShown document={document} />
              )}
            </Told>
          )}
        </ExaminationShown>
      )}
    </Masthead>
  );
}

/** Which overlay is laid over the pack, where the shelf has some for it. */
function OverlayLaid({
  pack,
  revision,
  overlay,
  part,
}: {
  readonly pack: string;
  readonly revision: string;
  readonly overlay: OverlayNamed | undefined;
  readonly part: string;
}) {
  const { came } = useDocument<PacksDocument>('/packs');
  const overlays = came?.came === 'document' ? overlaysOf(came.document.overlays ?? [], pack) : [];
  if (overlays.length === 0 && overlay === undefined) return null;
  return (
    <section class="overlay-laid" aria-label="What is laid over it">
      <OverlayChosen
        label="Overlay"
        overlays={overlays}
        revision={revision}
        chosen={overlay}
        onChosen={(chosen) => goTo(packAddress({ pack, revision, overlay: chosen }, part))}
      />
    </section>
  );
}

const hasErrors = (document: CheckDocument | TrialsDocument): boolean =>
  'findings' in document && document.findings.some(({ severity }) => severity === 'error');

function Told({
  document,
  children,
}: {
  readonly document: CheckDocument | TrialsDocument;
  readonly children: ComponentChildren;
}) {
  const { title, pack, revision, overlay, release, digest } = document;
  const laid =
    overlay === undefined ? '' : `, with ${overlay.overlay} ${overlay.revision}, ${overlay.release.words}`;
  return (
    <>
      <main class="page pack-page">
        {title === undefined ? null : (
          <p class="pack-title">
            {title}
            {overlay?.title === undefined ? '' : `; ${overlay.title}`}
          </p>
        )}
        {children}
        {hasErrors(document) ? null : <PackWays pack={pack} revision={revision} overlay={overlay} />}
      </main>
      <Deferring
        deferral={document.deferral}
        notice={document.notice}
        pack={`${pack} ${revision}, ${release.words}${laid}${digest === undefined ? '' : `, ${digest}`}`}
      />
    </>
  );
}
