import type { ComponentChildren } from 'preact';
import { Deferring } from '../pieces/deferring.tsx';
import { AwayShown, ProblemShown } from '../pieces/problem-shown.tsx';
import { wayOut } from '../pieces/way-out.ts';
import type { Working } from './examination.ts';
import { useExamination } from './use-examination.ts';

/** What the server makes of a pack once it is made; before that how far it has come, and where it cannot be made, why. */
export function ExaminationShown<T extends object>({
  path,
  children,
}: {
  readonly path: string;
  readonly children: (document: T) => ComponentChildren;
}) {
  const { came, working, again } = useExamination<T>(path);
  switch (came?.came) {
    case 'document':
      return (
        <>
          {working === undefined ? null : (
            <div class="page working-again">
              <WorkingShown working={working} />
            </div>
          )}
          {children(came.document)}
        </>
      );
    case 'problem':
      return (
        <>
          <main class="page">
            <ProblemShown problem={came.problem} wayOut={wayOut} onAgain={again} />
          </main>
          <Deferring />
        </>
      );
    case 'away':
      return (
        <>
          <main class="page">
            <AwayShown onAgain={again} />
          </main>
          <Deferring />
        </>
      );
    default:
      return (
        <>
          <main class="page" aria-busy="true">
            <WorkingShown working={working} />
          </main>
          <Deferring />
        </>
      );
  }
}

function WorkingShown({ working }: { readonly working: Working | undefined }) {
  const { doing = 'asking the server', done = 0, of = 0 } = working ?? {};
  return (
    <div class="working" role="status">
      <p>{`${doing.charAt(0).toUpperCase()}${doing.slice(1)} …`}</p>
      {of === 0 ? (
        <progress aria-label="How far it has come" />
      ) : (
        <progress value={done} max={of} aria-label="How far it has come" />
      )}
      {of === 0 ? null : <p class="empty">{`${done} of ${of} done`}</p>}
    </div>
  );
}
