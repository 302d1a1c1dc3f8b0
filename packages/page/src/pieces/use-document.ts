import { useEffect, useState } from 'preact/hooks';
import { type Called, call, token } from '../link/call.ts';
import { passes } from '../link/what-passes.ts';

/** Where the server is not reached it is asked again after this time, in milliseconds. */
const AGAIN = 3000;

/**
 * A document of the server for a screen: undefined until it has come. Where the server is not reached, it is asked again until
 * it is. `patience` in milliseconds, where the document takes long to make.
 */
export function useDocument<T>(
  path: string,
  patience?: number,
): {
  readonly came: Called<T> | undefined;
  readonly again: () => void;
} {
  const [came, setCame] = useState<Called<T>>();
  const [tries, setTries] = useState(0);
  useEffect(() => {
    let isGone = false;
    let later: ReturnType<typeof setTimeout> | undefined;
    let unhear: (() => void) | undefined;
    const again = (): void => setTries((count) => count + 1);
    void call<T>(path, undefined, patience).then((answer) => {
      if (isGone) return;
      setCame(answer);
      if (isRefused(answer)) unhear = token.whenGiven(again);
      if (answer.came === 'away' || (answer.came === 'problem' && passes(answer.problem)))
        later = setTimeout(again, AGAIN);
    });
    return () => {
      isGone = true;
      clearTimeout(later);
      unhear?.();
    };
  }, [path, patience, tries]);
  return { came, again: () => setTries((count) => count + 1) };
}

/** Whether the server asks for its token: whatever else asks for it on the screen may be given it. */
const isRefused = (answer: Called<unknown>): boolean =>
  answer.came === 'problem' && answer.problem.code === 'no-token';
