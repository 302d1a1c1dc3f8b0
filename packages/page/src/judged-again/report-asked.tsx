import type { RejudgedDocument } from '@ferrule/compare/document';
import { useState } from 'preact/hooks';
import type { OverlayNamed, RejudgingDocument } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { FileButton } from '../pieces/file-button.tsx';
import { PaperLink } from '../pieces/paper-link.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { ReportShown } from './report-shown.tsx';

/** A report with more rows than this is fetched only when somebody asks for it. */
const MANY_ROWS = 30_000;
/** A large report takes its time over the network, in milliseconds. */
const PATIENCE = 120_000;

/** What came of it: first in sentences, then the whole report as it comes. */
export function ReportAsked({
  rejudging: { says = [], rowCount = 0, overlay },
  path,
}: {
  readonly rejudging: RejudgingDocument;
  readonly path: string;
}) {
  const [isWanted, setWanted] = useState(rowCount <= MANY_ROWS);
  return (
    <>
      <ul class="compared-says">
        {says.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      <div class="compared-ways">
        <PaperLink class="second" to={`${path}?form=html`}>
          As a page to print
        </PaperLink>
        <FileButton from={`${path}?form=csv`} name="rejudged.csv">
          Rows for a spreadsheet
        </FileButton>
      </div>
      {isWanted ? (
        <Report path={path} laid={overlay} />
      ) : (
        <p>
          {rowCount} verdicts are many for a page. The page to print has the first of them, the rows all.{' '}
          <button type="button" class="second" onClick={() => setWanted(true)}>
            Show them all the same
          </button>
        </p>
      )}
    </>
  );
}

function Report({ path, laid }: { readonly path: string; readonly laid: OverlayNamed | undefined }) {
  const asked = useDocument<RejudgedDocument>(`${path}?form=json`, PATIENCE);
  return (
    <>
      {asked.came === undefined ? <p class="empty">Fetching what came of it …</p> : null}
      <Arrived {...asked}>{(document) => <ReportShown report={document} laid={laid} />}</Arrived>
    </>
  );
}
