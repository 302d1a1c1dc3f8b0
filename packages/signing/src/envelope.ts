import { canonical } from './canonical.ts';
import { isKeyId, type KeyId } from './key-id.ts';
import { pae } from './pae.ts';
import type { PrivateKey } from './private-key.ts';
import { type PublicKey, publicKeyOf } from './public-key.ts';

/** A signed statement as it is written (DSSE 1.0). Both encoded texts are base64 in its one form (RFC 4648, clause 4). */
export interface Envelope {
  readonly payloadType: string;
  /** The canonical JSON of the statement. */
  readonly payload: string;
  /** `keyid` is the public key itself; it is a hint, and what it says is held against the signature. */
  readonly signatures: readonly { readonly keyid: string; readonly sig: string }[];
}

/** Why a statement is not to be relied on. */
export type EnvelopeFault =
  | 'no-envelope'
  | 'too-large'
  | 'other-type'
  | 'not-canonical'
  | 'bad-signature'
  | 'no-signature'
  | 'no-known-key';

export type EnvelopeReading =
  | {
      /** The statement: only what at least one good signature stands for is ever here. */
      readonly payload: unknown;
      /** The keys whose signatures are good, each once, in the order of writing: of those that were given, if any were. */
      readonly signedBy: readonly [KeyId, ...KeyId[]];
      /** Further keys whose signatures are good, and which were not among those given. */
      readonly unknown: readonly KeyId[];
    }
  | { readonly wrong: EnvelopeFault; readonly message: string; readonly unknown: readonly KeyId[] };

/** A record of 100,000 facts comes to about ten million characters. */
const MOST_CHARACTERS = 64 * 1024 * 1024;
const MOST_SIGNATURES = 16;

const encode = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64');

/** The bytes of a base64 text; undefined where it is not in the one form: with another one two texts would be one. */
function decode(text: string): Buffer | undefined {
  const bytes = Buffer.from(text, 'base64');
  return bytes.toString('base64') === text ? bytes : undefined;
}

/** Signs a statement, a JSON value, with each of the keys. The same statement and keys give the same envelope, always. */
export function sign(payloadType: string, payload: unknown, keys: readonly PrivateKey[]): Envelope {
  const body = Buffer.from(canonical(payload), 'utf8');
  const message = pae(payloadType, body);
  return {
    payloadType,
    payload: encode(body),
    signatures: keys.map((key) => ({ keyid: key.id, sig: encode(key.sign(message)) })),
  };
}

/** The envelope with one more signature over the same bytes; as it is where the key has signed before. */
export function addSignature(envelope: Envelope, key: PrivateKey): Envelope {
  const body = decode(envelope.payload);
  if (body === undefined) throw new TypeError('envelope: its payload is not base64');
  if (envelope.signatures.some(({ keyid }) => keyid === key.id)) return envelope;
  const sig = encode(key.sign(pae(envelope.payloadType, body)));
  return { ...envelope, signatures: [...envelope.signatures, { keyid: key.id, sig }] };
}

/** An envelope as the text of a file. */
export const writeEnvelope = (envelope: Envelope): string => `${canonical(envelope)}\n`;

/** The envelope that a text holds; undefined where it holds none. Members that are not of DSSE are left out. */
export function readEnvelope(text: string): Envelope | undefined {
  if (text.length > MOST_CHARACTERS * 2) return undefined;
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return undefined;
  }
  return envelopeOf(value);
}

function envelopeOf(value: unknown): Envelope | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  if (!('payloadType' in value && 'payload' in value && 'signatures' in value)) return undefined;
  const { payloadType, payload, signatures } = value;
  if (typeof payloadType !== 'string' || typeof payload !== 'string' || !Array.isArray(signatures))
    return undefined;
  const read: { keyid: string; sig: string }[] = [];
  for (const one of signatures.slice(0, MOST_SIGNATURES + 1)) {
    if (typeof one !== 'object' || one === null || !('sig' in one) || typeof one.sig !== 'string')
      return undefined;
    const keyid: unknown = 'keyid' in one ? one.keyid : '';
    if (typeof keyid !== 'string') return undefined;
    read.push({ keyid, sig: one.sig });
  }
  return { payloadType, payload, signatures: read };
}

/**
 * Holds an envelope against the type that is expected and, where `keys` are given, against these keys; `envelope` may be
 * anything that was parsed. Without `keys` it shows only that nothing was changed since whoever has the named keys signed.
 *
 * A signature is held against the key that its `keyid` is, and against those given. One that names its key and does not fit
 * says that the statement or the signature was changed, and then nothing is read. A good one by a key that is not among
 * those given adds nothing and takes nothing away; nor does one whose `keyid` is none of ours, such as other tools make.
 * Nothing is parsed before a signature over it was found good.
 */
export function verifyEnvelope(
  envelope: unknown,
  payloadType: string,
  keys?: readonly PublicKey[],
): EnvelopeReading {
  const unknown: KeyId[] = [];
  const refuse = (wrong: EnvelopeFault, message: string): EnvelopeReading => ({ wrong, message, unknown });
  const read = envelopeOf(envelope);
  if (read === undefined) return refuse('no-envelope', 'It is no signed statement in the form of DSSE.');
  if (read.payload.length > MOST_CHARACTERS)
    return refuse('too-large', 'It is larger than any statement that is read.');
  if (read.signatures.length > MOST_SIGNATURES)
    return refuse('too-large', `It has more than ${MOST_SIGNATURES} signatures.`);
  if (read.payloadType !== payloadType)
    return refuse('other-type', 'It is a statement about something else.');
  if (read.signatures.length === 0) return refuse('no-signature', 'It has no signature.');
  const body = decode(read.payload);
  if (body === undefined)
    return refuse('not-canonical', 'Its base64 is not in the one form that is written.');
  const message = pae(read.payloadType, body);
  const signedBy: KeyId[] = [];
  for (const { keyid, sig } of read.signatures) {
    const signature = decode(sig);
    if (signature === undefined)
      return refuse('not-canonical', 'Its base64 is not in the one form that is written.');
    const named = isKeyId(keyid) ? publicKeyOf(keyid) : undefined;
    const candidates = [...(named === undefined ? [] : [named]), ...(keys ?? [])];
    const found = candidates.find((key) => key.verifies(message, signature));
    if (found !== undefined) {
      const isKnown = keys === undefined || keys.some((key) => key.id === found.id);
      const list = isKnown ? signedBy : unknown;
      if (!list.includes(found.id)) list.push(found.id);
    } else if (named !== undefined)
      return refuse('bad-signature', 'A signature does not fit what is signed: one of the two was changed.');
  }
  const [first, ...more] = signedBy;
  if (first === undefined)
    return refuse('no-known-key', 'It is signed, and not with any of the keys that count here.');
  let payload: unknown;
  try {
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(body);
    payload = JSON.parse(text);
    if (canonical(payload) !== text)
      return refuse('not-canonical', 'What is signed is not in canonical form (RFC 8785).');
  } catch {
    return refuse('not-canonical', 'What is signed is not JSON.');
  }
  return { payload, signedBy: [first, ...more], unknown };
}
