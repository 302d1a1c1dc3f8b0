import { existsSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { digestOf } from '@ferrule/signing';
import { writeDurably } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import { makeOne } from './make-folder.ts';
import { hexOf } from './store-folder.ts';
import { unwritten } from './unwritten.ts';

/** More than any pack has; what is larger was put there by something else. */
const MOST_BYTES = 64_000_000;

/** The file of a pack in a store; undefined when a text is no digest. */
export function bundlePath(store: string, digest: string): string | undefined {
  const hex = hexOf(digest);
  return hex === undefined ? undefined : join(store, 'packs', `${hex}.json`);
}

/** Keeps a pack under its digest, durably. Says why it cannot; undefined when it is there. */
export function putBundle(store: string, digest: string, text: string): string | undefined {
  const path = bundlePath(store, digest);
  if (path === undefined || digestOf(text) !== digest)
    throw new RangeError('the bundle is not the one that the header pins by its digest');
  try {
    if (getBundle(store, digest) !== undefined) return undefined;
    makeOne(dirname(path));
    const done = whileLocked(path, () => {
      writeDurably(path, text);
      return true;
    });
    return done === undefined ? `Another process keeps ${path} locked.` : undefined;
  } catch (error) {
    return unwritten(`The pack ${path}`, error);
  }
}

/** Whether something stands under the name of a pack and is not that pack: it was altered after it was kept. */
export function hasOtherBundle(store: string, digest: string): boolean {
  const path = bundlePath(store, digest);
  return path !== undefined && existsSync(path) && getBundle(store, digest) === undefined;
}

/** The text of a pack by its digest; undefined when it is not there, or something else is. */
export function getBundle(store: string, digest: string): string | undefined {
  const path = bundlePath(store, digest);
  if (path === undefined) return undefined;
  try {
    if (statSync(path).size > MOST_BYTES) return undefined;
    const bytes = readFileSync(path);
    return digestOf(bytes) === digest ? bytes.toString('utf8') : undefined;
  } catch {
    return undefined;
  }
}
