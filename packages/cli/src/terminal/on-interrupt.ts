import { INTERRUPTED } from './exit-code.ts';

/**
 * Until what comes back is called, an interrupt or the word to end does this and then ends the command at once, which otherwise
 * would end without a word. Only for work that waits: while it computes in this thread no interrupt is heard.
 */
export function onInterrupt(last: () => void): () => void {
  const end = (): void => {
    last();
    process.exit(INTERRUPTED);
  };
  process.once('SIGINT', end);
  process.once('SIGTERM', end);
  return () => {
    process.off('SIGINT', end);
    process.off('SIGTERM', end);
  };
}
