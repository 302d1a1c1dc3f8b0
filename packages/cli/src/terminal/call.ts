import { relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The bundle lies in packages/cli/dist of the checkout. */
const checkout = fileURLToPath(new URL('../../..', import.meta.url));

/**
 * A call of Ferrule as it can be typed where this one was typed. Inside the checkout npx finds the command, and without
 * its `--` it would take options such as --help for its own; elsewhere the command was found by its name.
 */
export function callOf(...words: readonly string[]): string {
  const from = relative(checkout, process.cwd());
  const isInside = from !== '..' && !from.startsWith(`..${sep}`) && !/^[A-Za-z]:/.test(from);
  return [isInside ? 'npx --no -- ferrule' : 'ferrule', ...words.map(quoted)].join(' ');
}

/** A word as a shell takes it for one word. */
const quoted = (word: string): string =>
  /^[\w@%+=:,./\\-]+$/.test(word) ? word : `'${word.replaceAll("'", "'\\''")}'`;
