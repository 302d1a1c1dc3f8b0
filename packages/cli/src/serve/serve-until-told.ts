import { fileURLToPath } from 'node:url';
import type { Serving } from '@ferrule/server';
import { say } from '../terminal/output.ts';

/** The page as it was built; the bundle of the command lies in packages/cli/dist. */
export const pageFolder = fileURLToPath(new URL('../../page/dist', import.meta.url));

/** Says what is served, and serves until Ctrl-C or whatever has started it says stop. A second Ctrl-C ends it at once. */
export async function serveUntilTold(serving: Serving, says: string): Promise<void> {
  // Whoever reads that it serves may tell it to stop at once.
  const told = new Promise<void>((stop) => {
    process.once('SIGINT', () => stop());
    process.once('SIGTERM', () => stop());
  });
  say(says);
  await told;
  await serving.stop();
  say('Stopped. Everything that was confirmed is in the store.');
}
