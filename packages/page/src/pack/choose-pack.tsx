import { addressOf } from '../address.ts';
import type { PacksDocument } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { Deferring } from '../pieces/deferring.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { counted } from './counted.ts';

/** The packs on the shelf, those with faults as well. */
export function ChoosePack() {
  const { came, again } = useDocument<PacksDocument>('/packs');
  return (
    <>
      <main class="page">
        <h2>Which pack is to be looked into?</h2>
        <Arrived came={came} again={again}>
          {({ packs }) => (
            <ul class="job-list">
              {packs.map(({ pack, revision, title, release, jobs, diagnostics }) => (
                <li key={`${pack} ${revision}`}>
                  <a href={addressOf('pack', pack, revision)}>
                    <strong>{title ?? pack}</strong>
                    <span>
                      {diagnostics.errors > 0
                        ? `${counted(diagnostics.errors, 'error', 'errors')} in its files: no job runs on it`
                        : counted(jobs.length, 'procedure', 'procedures')}
                    </span>
                    <span class="when">
                      {pack} {revision}, {release.words}
                    </span>
                  </a>
                </li>
              ))}
            </ul>
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
      ) : null}
    </>
  );
}
