import { createPublicKey, type KeyObject, verify } from 'node:crypto';
import { isKeyId, type KeyId } from './key-id.ts';

/** A public Ed25519 key (RFC 8032) by which signatures are held to be good or not. */
export interface PublicKey {
  readonly id: KeyId;
  /** SubjectPublicKeyInfo (RFC 8410) as PEM. */
  readonly pem: string;
  /** Whether the 64 bytes are this key's signature of the message. Never throws. */
  verifies(message: Uint8Array, signature: Uint8Array): boolean;
}

/** What stands before the 32 bytes of a key in its SubjectPublicKeyInfo (RFC 8410, clause 10.1). */
const SPKI_START = Buffer.from('302a300506032b6570032100', 'hex');

/**
 * Encodings of points of small order, without the bit that holds the sign of x: y is 0, 1, −1, or that of the points of
 * order eight, and the two of them that are also written p and p + 1. Whoever has no private key at all can make
 * signatures that such a key verifies.
 */
const SMALL_ORDER: ReadonlySet<string> = new Set([
  '0000000000000000000000000000000000000000000000000000000000000000',
  '0100000000000000000000000000000000000000000000000000000000000000',
  '26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05',
  'c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a',
  'ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  'edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
  'eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f',
]);

function isOfSmallOrder(raw: Uint8Array): boolean {
  const unsigned = Buffer.from(raw);
  unsigned[31] = (unsigned[31] ?? 0) & 0x7f;
  return SMALL_ORDER.has(unsigned.toString('hex'));
}

/** The 32 bytes of an Ed25519 key; undefined for a key of another kind. */
export function rawOf(key: KeyObject): Buffer | undefined {
  if (key.asymmetricKeyType !== 'ed25519') return undefined;
  const spki = (key.type === 'private' ? createPublicKey(key) : key).export({ type: 'spki', format: 'der' });
  return spki.subarray(SPKI_START.length);
}

/** A key by its 32 bytes; undefined where they are no key that anybody can hold alone. */
export function publicKeyFrom(raw: Uint8Array): PublicKey | undefined {
  if (raw.length !== 32 || isOfSmallOrder(raw)) return undefined;
  const key = createPublicKey({ key: Buffer.concat([SPKI_START, raw]), format: 'der', type: 'spki' });
  return {
    id: `ed25519:${Buffer.from(raw).toString('hex')}`,
    pem: key.export({ type: 'spki', format: 'pem' }).toString(),
    verifies: (message, signature) => signature.length === 64 && verify(null, message, key, signature),
  };
}

/** A key by its id; undefined where that is none. */
export const publicKeyOf = (id: string): PublicKey | undefined =>
  isKeyId(id) ? publicKeyFrom(Buffer.from(id.slice('ed25519:'.length), 'hex')) : undefined;

/**
 * A public key from a text: its id, or PEM (SubjectPublicKeyInfo). Or what is wrong with it. A private key is refused as
 * well: what belongs into a policy or a call is the public half, and the text is never repeated.
 */
export function parsePublicKey(text: string): PublicKey | { readonly wrong: string } {
  const trimmed = text.trim();
  if (/PRIVATE KEY/.test(trimmed))
    return { wrong: 'it is a private key. Give the public one, in the file that ends in .pub' };
  if (trimmed.startsWith('ed25519:'))
    return (
      publicKeyOf(trimmed) ?? {
        wrong: 'it is no Ed25519 key: ed25519: and 64 hexadecimal digits, in small letters',
      }
    );
  if (!trimmed.startsWith('-----BEGIN PUBLIC KEY-----'))
    return { wrong: 'it is neither a key id, such as ed25519:…, nor a public key in PEM' };
  let key: KeyObject;
  try {
    key = createPublicKey({ key: trimmed, format: 'pem', type: 'spki' });
  } catch {
    return { wrong: 'its PEM cannot be read' };
  }
  const raw = rawOf(key);
  if (raw === undefined)
    return { wrong: `it is a key for ${key.asymmetricKeyType ?? 'something else'}, and not Ed25519` };
  return publicKeyFrom(raw) ?? { wrong: 'it is no Ed25519 key that anybody holds alone' };
}
