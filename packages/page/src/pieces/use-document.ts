import { useEffect, useState } from 'preact/hooks';
import { type Called, call } from '../link/call.ts';

/** A document of the server for a screen: undefined until it has come. `patience` in milliseconds, where it takes long to make. */
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
    void call<T>(path, undefined, patience).then((answer) => {
      if (!isGone) setCame(answer);
    });
    return () => {
      isGone = true;
    };
  }, [path, patience, tries]);
  return { came, again: () => setTries((count) => count + 1) };
}
