import { existsSync } from 'node:fs';
import {
  makeKeyFile,
  type PrivateKey,
  type PublicKey,
  readPrivateKey,
  readPublicKey,
} from '@ferrule/signing';
import { callFault } from '../pack/open-pack.ts';
import type { ExitCode } from '../terminal/exit-code.ts';
import type { Format } from '../terminal/format-option.ts';
import { complain, say, sayJson } from '../terminal/output.ts';
import { wrap } from '../terminal/wrap.ts';

/** Makes a pair of keys, and says what to do with them. */
export function newKey(file: string, format: Format): ExitCode {
  const made = makeKeyFile(file);
  if ('wrong' in made) return callFault(made.wrong).exitCode;
  const { id, privateFile, publicFile, unchecked } = made;
  if (format === 'json')
    sayJson({ id, privateFile, publicFile, ...(unchecked === undefined ? {} : { unchecked }) });
  else
    say(
      [
        wrap(
          `${privateFile} is the private key. Only you can read it: who else gets it signs in your name. Keep it out of packs, stores of jobs, mail and version control.`,
        ),
        wrap(`${publicFile} is the public key, for everybody. Its id, as a policy names it:`),
        id,
        ...(unchecked === undefined ? [] : [wrap(unchecked)]),
      ].join('\n'),
    );
  return 0;
}

/** Says the id of a key. */
export function showKey(given: string, format: Format): ExitCode {
  const key = keyIn(given);
  if ('wrong' in key) return callFault(key.wrong).exitCode;
  const { id, pem } = key;
  if (format === 'json') sayJson({ id, pem });
  else say(id);
  return 0;
}

/** A public key, or the public half of a private one, which is then held to the same rules as for signing. */
function keyIn(given: string): PublicKey | { readonly wrong: string } {
  const key = readPublicKey(given);
  if (!('wrong' in key) || !existsSync(given)) return key;
  const own = readPrivateKey(given);
  return 'wrong' in own ? (own.wrong.includes('it is no private key') ? key : own) : own.publicKey;
}

/** The private key in a file, with a word about what could not be checked; that it is not taken is a fault of the call. */
export function privateKeyIn(file: string): PrivateKey | { readonly exitCode: ExitCode } {
  const key = readPrivateKey(file);
  if ('wrong' in key) return callFault(key.wrong);
  if (key.unchecked !== undefined) complain(wrap(`Note: ${key.unchecked}`));
  return key;
}
