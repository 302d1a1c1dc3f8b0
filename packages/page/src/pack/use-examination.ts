import { useEffect, useState } from 'preact/hooks';
import { type Called, call } from '../link/call.ts';
import type { Working } from './examination.ts';

/** What of it the server has made so far. */
interface Examined<T> {
  readonly came: Called<T> | undefined;
  /** How far the server has come, as long as it works at it. */
  readonly working: Working | undefined;
  readonly again: () => void;
}

/** A document that the server takes seconds to make: it is asked for until it is finished. */
export function useExamination<T extends object>(path: string): Examined<T> {
  const [came, setCame] = useState<Called<T>>();
  const [working, setWorking] = useState<Working>();
  const [tries, setTries] = useState(0);
  useEffect(() => {
    let isGone = false;
    const ask = async (): Promise<void> => {
      while (!isGone) {
        const answer = await call<T | { readonly working: Working }>(path);
        if (isGone) return;
        if (answer.came === 'document' && 'working' in answer.document) {
          setWorking(answer.document.working);
          continue;
        }
        setWorking(undefined);
        setCame(answer as Called<T>);
        return;
      }
    };
    setCame(undefined);
    void ask();
    return () => {
      isGone = true;
    };
  }, [path, tries]);
  return { came, working, again: () => setTries((count) => count + 1) };
}
