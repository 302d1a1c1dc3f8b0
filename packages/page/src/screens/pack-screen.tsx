import type { ComponentChildren } from 'preact';
import { addressOf } from '../address.ts';
import { ChoosePack } from '../pack/choose-pack.tsx';
import type { CheckDocument, TrialsDocument } from '../pack/examination.ts';
import { ExaminationShown } from '../pack/examination-shown.tsx';
import { FindingsShown } from '../pack/findings-shown.tsx';
import { PackParts } from '../pack/pack-parts.tsx';
import { ProofShown } from '../pack/proof-shown.tsx';
import { TrialsShown } from '../pack/trials-shown.tsx';
import { WayShown } from '../pack/way-shown.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { Masthead } from '../pieces/masthead.tsx';
import '../style/pack.css';

/** For whoever writes packs: what is wrong with one, what is proved of it, and what its trials show. */
export function PackScreen({
  pack,
  revision,
  part,
  number,
}: {
  readonly pack: string | undefined;
  readonly revision: string | undefined;
  readonly part: string | undefined;
  readonly number: string | undefined;
}) {
  if (pack === undefined || revision === undefined)
    return (
      <Masthead title="Packs" back="#/">
        <ChoosePack />
      </Masthead>
    );
  const base = `/packs/${encodeURIComponent(pack)}/${encodeURIComponent(revision)}`;
  const isWay = part === 'way';
  const at = part === 'proof' || part === 'trials' ? part : isWay ? undefined : 'found';
  return (
    <Masthead
      title={isWay ? 'The way to a fault' : pack}
      under={isWay ? `${pack} ${revision}` : revision}
      back={isWay ? addressOf('pack', pack, revision, 'proof') : addressOf('pack')}
      backTo={isWay ? 'What is proved' : 'All packs'}
    >
      <PackParts pack={pack} revision={revision} at={at} />
      {part === 'trials' ? (
        <ExaminationShown<TrialsDocument> key="trials" path={`${base}/trials`}>
          {(document) => (
            <Told document={document}>
              <TrialsShown document={document} />
            </Told>
          )}
        </ExaminationShown>
      ) : (
        <ExaminationShown<CheckDocument> key="check" path={`${base}/check`}>
          {(document) => (
            <Told document={document}>
              {isWay ? (
                <WayShown document={document} number={Number(number)} />
              ) : part === 'proof' ? (
                <ProofShown document={document} />
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

function Told({
  document,
  children,
}: {
  readonly document: CheckDocument | TrialsDocument;
  readonly children: ComponentChildren;
}) {
  const { title, pack, revision, release, digest } = document;
  return (
    <>
      <main class="page pack-page">
        {title === undefined ? null : <p class="pack-title">{title}</p>}
        {children}
      </main>
      <Deferring
        deferral={document.deferral}
        notice={document.notice}
        pack={`${pack} ${revision}, ${release.words}${digest === undefined ? '' : `, ${digest}`}`}
      />
    </>
  );
}
