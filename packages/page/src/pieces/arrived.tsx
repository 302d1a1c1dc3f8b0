import type { ComponentChildren } from 'preact';
import type { Called } from '../link/call.ts';
import type { Problem } from '../link/documents.ts';
import { AwayShown, ProblemShown } from './problem-shown.tsx';
import type { WayOut } from './way-out.ts';

/** What a document shows once it has come; before that nothing, and where it does not come, why. */
export function Arrived<T>({
  came,
  again,
  wayOut,
  children,
}: {
  readonly came: Called<T> | undefined;
  readonly again: () => void;
  readonly wayOut?: ((problem: Problem) => WayOut | undefined) | undefined;
  readonly children: (document: T) => ComponentChildren;
}) {
  switch (came?.came) {
    case undefined:
      return null;
    case 'problem':
      return <ProblemShown problem={came.problem} wayOut={wayOut} onAgain={again} />;
    case 'away':
      return <AwayShown onAgain={again} />;
    case 'document':
      return <>{children(came.document)}</>;
  }
}
