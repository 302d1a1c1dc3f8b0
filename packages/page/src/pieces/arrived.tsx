import type { ComponentChildren } from 'preact';
import type { Called } from '../link/call.ts';
import { AwayShown, ProblemShown } from './problem-shown.tsx';

/** What a document shows once it has come; before that nothing, and where it does not come, why. */
export function Arrived<T>({
  came,
  again,
  children,
}: {
  readonly came: Called<T> | undefined;
  readonly again: () => void;
  readonly children: (document: T) => ComponentChildren;
}) {
  switch (came?.came) {
    case undefined:
      return null;
    case 'problem':
      return <ProblemShown problem={came.problem} onAgain={again} />;
    case 'away':
      return <AwayShown onAgain={again} />;
    case 'document':
      return <>{children(came.document)}</>;
  }
}
