import type { Digest } from '@ferrule/signing';

/** Whether a value is a digest in its one form. */
export const isDigest = (value: unknown): value is Digest =>
  typeof value === 'string' && /^sha256:[0-9a-f]{64}$/.test(value);
