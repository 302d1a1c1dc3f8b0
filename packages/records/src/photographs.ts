import { readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { type Digest, digestOf } from '@ferrule/signing';
import { writeDurably } from './durable.ts';
import { whileLocked } from './file-lock.ts';
import { makeOne } from './make-folder.ts';
import { hexOf } from './store-folder.ts';
import { unwritten } from './unwritten.ts';

export type MediaType = 'image/png' | 'image/jpeg' | 'image/webp';

export interface Photograph {
  readonly bytes: Uint8Array;
  readonly mediaType: MediaType;
}

export type StoredPhotograph =
  | { readonly digest: Digest; readonly mediaType: MediaType; readonly refused?: undefined }
  | { readonly refused: 'too-large' | 'no-picture' | 'not-written'; readonly message: string };

/** The most that a picture may have, in bytes. */
const MOST_PHOTOGRAPH_BYTES = 20_000_000;

/** What the first bytes say that a picture is: ISO/IEC 15948 (PNG) 5.2, ITU-T T.81 (JPEG) B.1.1.3, RFC 9649 (WebP) 2.4. */
const beginnings: readonly (readonly [MediaType, RegExp])[] = [
  ['image/png', /^89504e470d0a1a0a/],
  ['image/jpeg', /^ffd8ff/],
  ['image/webp', /^52494646.{8}57454250/],
];

function mediaTypeOf(bytes: Uint8Array): MediaType | undefined {
  const start = Buffer.from(bytes.subarray(0, 12)).toString('hex');
  return beginnings.find(([, begins]) => begins.test(start))?.[0];
}

/** The file of a picture in a store; undefined when a text is no digest. */
export function photographPath(store: string, digest: string): string | undefined {
  const hex = hexOf(digest);
  return hex === undefined ? undefined : join(store, 'photographs', hex);
}

export function putPhotograph(store: string, bytes: Uint8Array): StoredPhotograph {
  if (bytes.length > MOST_PHOTOGRAPH_BYTES)
    return {
      refused: 'too-large',
      message: `A picture has at most ${MOST_PHOTOGRAPH_BYTES / 1e6} MB, and this has ${(bytes.length / 1e6).toFixed(1)}.`,
    };
  const mediaType = mediaTypeOf(bytes);
  if (mediaType === undefined)
    return { refused: 'no-picture', message: 'This is neither a PNG nor a JPEG nor a WebP picture.' };
  const digest = digestOf(bytes);
  const path = photographPath(store, digest) ?? '';
  try {
    if (getPhotograph(store, digest) !== undefined) return { digest, mediaType };
    makeOne(dirname(path));
    const done = whileLocked(path, () => {
      writeDurably(path, bytes);
      return true;
    });
    return done === undefined
      ? {
          refused: 'not-written',
          message: `Another process keeps ${path} locked. Nothing was recorded. Try again when it has ended.`,
        }
      : { digest, mediaType };
  } catch (error) {
    return { refused: 'not-written', message: unwritten(`The picture ${path}`, error) };
  }
}

/** A picture by its digest; undefined when it is not there, or something else is. */
export function getPhotograph(store: string, digest: string): Photograph | undefined {
  const path = photographPath(store, digest);
  if (path === undefined) return undefined;
  try {
    if (statSync(path).size > MOST_PHOTOGRAPH_BYTES) return undefined;
    const bytes = readFileSync(path);
    const mediaType = mediaTypeOf(bytes);
    return mediaType === undefined || digestOf(bytes) !== digest ? undefined : { bytes, mediaType };
  } catch {
    return undefined;
  }
}
