import { useEffect, useState } from 'preact/hooks';
import { type Called, call } from '../link/call.ts';
import type { Working } from './examination.ts';

/** Where the server is not reached it is asked again after this time, in milliseconds. */
const AGAIN = 3000;

/** What of it the server has made so far. */
interface Examined<T> {
  readonly came: Called<T> | undefined;
  /** How far the server has come, as long as it works at it. */
  readonly working: Working | undefined;
  readonly again: () => void;
}

/**
 * A document that the server takes seconds to make: it is asked for until it is finished, and again when somebody comes back to
 * the page, who may have changed the pack meanwhile. What is shown stays until there is something else.
 */
export function useExamination<T extends object>(path: string): Examined<T> {
  const [came, setCame] = useState<Called<T>>();
  const [working, setWorking] = useState<Working>();
  const [tries, setTries] = useState(0);
  const again = (): void => setTries((count) => count + 1);
  useEffect(() => setCame(undefined), [path]);
  useEffect(() => {
    addEventListener('focus', again);
    return () => removeEventListener('focus', again);
  }, []);
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
        setCame((before) => (isSame(before, answer) ? before : (answer as Called<T>)));
        if (answer.came !== 'away') return;
        await new Promise((resolve) => setTimeout(resolve, AGAIN));
      }
    };
    void ask();
    return () => {
      isGone = true;
    };
  }, [path, tries]);
  return { came, working, again };
}

/** Whether two answers say the same, whenever they were given. */
const isSame = (one: Called<object> | undefined, other: Called<object>): boolean =>
  one?.came === 'document' &&
  other.came === 'document' &&
  JSON.stringify(one.document) === JSON.stringify(other.document);
