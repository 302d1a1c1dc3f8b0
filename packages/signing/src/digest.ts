import { hash } from 'node:crypto';

/** A SHA-256 digest (FIPS 180-4) as text: `sha256:` and 64 lower-case hexadecimal digits. */
export type Digest = `sha256:${string}`;

const LONE_SURROGATE = /\p{Surrogate}/u;

/**
 * The digest of bytes, or of a text taken as UTF-8. Throws a TypeError for a text with a lone surrogate,
 * which has no UTF-8 form: encoders replace it silently, and two different texts would share a digest.
 */
export function digestOf(content: string | Uint8Array): Digest {
  if (typeof content === 'string' && LONE_SURROGATE.test(content)) {
    throw new TypeError('digest: lone surrogate in the text');
  }
  return `sha256:${hash('sha256', content, 'hex')}`;
}
