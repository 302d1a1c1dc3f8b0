import type { PacksDocument, ShelvedOverlay, ShelvedPack } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { overlaysOf } from '../pieces/overlay-chosen.tsx';
import { shelfByName } from '../pieces/shelf-by-name.ts';
import { useDocument } from '../pieces/use-document.ts';
import { counted } from './counted.ts';
import { packAddress } from './pack-address.ts';

/** The packs on the shelf, those with faults as well: each with its revisions, and the overlays that are for it. */
export function ChoosePack() {
  const { came, again } = useDocument<PacksDocument>('/packs');
  return (
    <>
      <main class="page pack-page">
        <h2>Which pack is to be looked into?</h2>
        <Arrived came={came} again={again}>
          {({ packs, overlays = [] }) => (
            <>
              <ul class="shelf">
                {shelfByName(packs).map(([name, revisions]) => (
                  <li key={name}>
                    <h3>{revisions.find(({ title }) => title !== undefined)?.title ?? name}</h3>
                    <p class="when">{name}</p>
                    <ul>
                      {revisions.map((one) => (
                        <Revision key={one.revision} pack={one} overlays={overlaysOf(overlays, name)} />
                      ))}
                    </ul>
                  </li>
                ))}
              </ul>
              {overlays.filter(isLost(packs)).map(({ overlay, revision, over }) => (
                <p key={`${overlay} ${revision}`} class="empty">
                  {over === undefined
                    ? `The overlay ${overlay} ${revision} does not say over which pack it is laid, or cannot be read.`
                    : `The overlay ${overlay} ${revision} is for ${over.pack} ${over.revision}, which is not on the shelf.`}
                </p>
              ))}
            </>
          )}
        </Arrived>
        <p class="empty">
          Packs of your own stand here when the server is started with their folder: ferrule serve --packs
          FOLDER.
        </p>
      </main>
      {came?.came === 'document' ? (
        <Deferring
          deferral={came.document.deferral}
          notice={came.document.packs.find(({ notice }) => notice !== undefined)?.notice}
        />
      ) : (
        <Deferring />
      )}
    </>
  );
}

/** Whether an overlay is for no revision of any pack that is there. */
const isLost =
  (packs: readonly ShelvedPack[]) =>
  ({ over }: ShelvedOverlay): boolean =>
    !packs.some(({ pack, revision }) => pack === over?.pack && revision === over.revision);

function Revision({
  pack: one,
  overlays,
}: {
  readonly pack: ShelvedPack;
  readonly overlays: readonly ShelvedOverlay[];
}) {
  const { pack, revision, release, jobs, diagnostics } = one;
  return (
    <>
      <li>
        <a href={packAddress({ pack, revision })}>
          <strong>{revision}</strong>
          <span>
            {diagnostics.errors > 0
              ? `${counted(diagnostics.errors, 'error', 'errors')} in its files: no job runs on it`
              : counted(jobs.length, 'procedure', 'procedures')}
            <span class="when">, {release.words}</span>
          </span>
        </a>
      </li>
      {overlays
        .filter(({ over }) => over?.revision === revision)
        .map((laid) => (
          <li key={`${laid.overlay} ${laid.revision}`} class="shelf-laid">
            <a href={packAddress({ pack, revision, overlay: laid })}>
              <strong>
                with {laid.overlay} {laid.revision}
              </strong>
              <span>
                {laid.diagnostics.errors > 0
                  ? `${counted(laid.diagnostics.errors, 'error', 'errors')} in both together`
                  : (laid.title ?? 'An overlay')}
                <span class="when">, {laid.release.words}</span>
              </span>
            </a>
          </li>
        ))}
    </>
  );
}
