import type { ReadingsDocument } from '@ferrule/compare/document';
import { useEffect, useRef } from 'preact/hooks';
import { addressOf } from '../address.ts';
import type { Problem } from '../link/documents.ts';
import { Arrived } from '../pieces/arrived.tsx';
import { leadToAnswer } from '../pieces/ask-in-address.ts';
import { FileButton } from '../pieces/file-button.tsx';
import { PaperLink } from '../pieces/paper-link.tsx';
import { useDocument } from '../pieces/use-document.ts';
import type { WayOut } from '../pieces/way-out.ts';
import { ReadingsShown } from './readings-shown.tsx';

/** Every record of the pack is read for it, in milliseconds. */
const PATIENCE = 120_000;

/** What was asked for, once it has come; where the name was none, the names that there are. */
export function ReadingsAsked({
  asked,
  notice,
}: {
  readonly asked: string;
  /** One that stands on the screen already. */
  readonly notice: string | undefined;
}) {
  const answer = useDocument<ReadingsDocument>(`/spread?${asked}&form=json`, PATIENCE);
  const { came } = answer;
  return (
    <>
      {came === undefined ? <p class="empty">Reading the records …</p> : null}
      {came?.came === 'problem' && namesIn(came.problem).length > 0 ? (
        <OtherNames asked={asked} problem={came.problem} />
      ) : (
        <Arrived {...answer} wayOut={otherPack}>
          {(document) => (
            <>
              <ReadingsShown document={document} asked={asked} />
              <div class="compared-ways">
                <PaperLink class="second" to={`/spread?${asked}&form=html`}>
                  As a page to print
                </PaperLink>
                <FileButton from={`/spread?${asked}&form=csv`} name="spread.csv">
                  Rows for a spreadsheet
                </FileButton>
              </div>
              {document.notices
                .filter((one) => one !== notice)
                .map((one) => (
                  <p key={one} class="notice-line">
                    {one}
                  </p>
                ))}
            </>
          )}
        </Arrived>
      )}
    </>
  );
}

/** Where somebody goes on who asked for jobs that are not there. */
const otherPack = ({ code }: Problem): WayOut | undefined =>
  code === 'no-such-job'
    ? {
        ...{ title: 'All jobs', to: addressOf('') },
        advice: 'Choose another pack, another revision or other days.',
      }
    : undefined;

function OtherNames({ asked, problem }: { readonly asked: string; readonly problem: Problem }) {
  const names = namesIn(problem);
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => leadToAnswer(asked, heading.current), [asked]);
  const askedFor = (of: string): string => {
    const wanted = new URLSearchParams(asked);
    wanted.set('of', of);
    return `${addressOf('readings')}?${wanted}`;
  };
  return (
    <section>
      <h2 tabIndex={-1} ref={heading}>
        What its jobs measure and judge
      </h2>
      <p class="lead-in" role="alert">
        {problem.detail} These are the names that there are:
      </p>
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
