import type { ReadingsDocument } from '@ferrule/compare/document';
import { addressOf } from '../address.ts';
import type { Problem } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { FileButton } from '../pieces/file-button.tsx';
import { PaperLink } from '../pieces/paper-link.tsx';
import { useDocument } from '../pieces/use-document.ts';
import { ReadingsShown } from './readings-shown.tsx';

/** Every record of the pack is read for it, in milliseconds. */
const PATIENCE = 120_000;

/** What was asked for, once it has come; where the name was none, the names that there are. */
export function ReadingsAsked({ asked }: { readonly asked: string }) {
  const answer = useDocument<ReadingsDocument>(`/spread?${asked}&form=json`, PATIENCE);
  const { came } = answer;
  return (
    <>
      {came === undefined ? <p class="empty">Reading the records …</p> : null}
      <Arrived {...answer}>
        {(document) => (
          <>
            <ReadingsShown document={document} />
            <div class="compared-ways">
              <PaperLink class="second" to={`/spread?${asked}&form=html`}>
                As a page to print
              </PaperLink>
              <FileButton from={`/spread?${asked}&form=csv`} name="spread.csv">
                Rows for a spreadsheet
              </FileButton>
            </div>
            {document.notices.map((one) => (
              <p key={one} class="notice-line">
                {one}
              </p>
            ))}
          </>
        )}
      </Arrived>
      {came?.came === 'problem' ? <OtherNames asked={asked} problem={came.problem} /> : null}
    </>
  );
}

function OtherNames({ asked, problem }: { readonly asked: string; readonly problem: Problem }) {
  const names = namesIn(problem);
  if (names.length === 0) return null;
  const askedFor = (of: string): string => {
    const wanted = new URLSearchParams(asked);
    wanted.set('of', of);
    return `${addressOf('readings')}?${wanted}`;
  };
  return (
    <section>
      <h2>What its jobs measure and judge</h2>
      <ul class="names">
        {names.map((one) => (
          <li key={one}>
            <a href={askedFor(one)}>{one}</a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function namesIn({ operands }: Problem): readonly string[] {
  const names = operands?.['names'];
  return Array.isArray(names) ? names.filter((one) => typeof one === 'string') : [];
}
