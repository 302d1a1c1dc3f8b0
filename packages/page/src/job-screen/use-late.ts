import { useEffect, useState } from 'preact/hooks';

/** What is over within this time is not worth a word, in milliseconds: the page would jump under the hand at every entry. */
const SHORT = 1000;

/** Whether something has lasted for longer than a moment. */
export function useLate(lasts: boolean): boolean {
  const [isLate, setLate] = useState(false);
  useEffect(() => {
    setLate(false);
    if (!lasts) return;
    const timer = setTimeout(() => setLate(true), SHORT);
    return () => clearTimeout(timer);
  }, [lasts]);
  return lasts && isLate;
}
