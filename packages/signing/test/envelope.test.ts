import {
  addSignature,
  canonical,
  type Envelope,
  makeKeyPair,
  PrivateKey,
  pae,
  parsePrivateKey,
  readEnvelope,
  sign,
  verifyEnvelope,
  writeEnvelope,
} from '@ferrule/signing';
import { describe, expect, test } from 'vitest';

const type = 'application/vnd.ferrule.example+json';
const newKey = (): PrivateKey => {
  const key = parsePrivateKey(makeKeyPair().privateKey);
  if (!(key instanceof PrivateKey)) throw new Error(key.wrong);
  return key;
};
const [author, approver, stranger] = [newKey(), newKey(), newKey()];
const statement = { torque: '22 N·m', bores: [1, 2, 3], nested: { deep: null } };
const envelope = sign(type, statement, [author]);
const keys = [author.publicKey, approver.publicKey];
const base64 = (value: string | Uint8Array): string => Buffer.from(value).toString('base64');

/** The fault of an envelope, or the statement as it was read: by the keys of the author and the approver, or by any. */
function read(one: unknown, known: typeof keys | 'any' = keys): unknown {
  const reading = known === 'any' ? verifyEnvelope(one, type) : verifyEnvelope(one, type, known);
  return 'wrong' in reading ? reading.wrong : reading.payload;
}

/** Signs a body as it is: what another tool could do. */
const signRaw = (body: string | Uint8Array, payloadType = type): Envelope => ({
  payloadType,
  payload: base64(body),
  signatures: [{ keyid: author.id, sig: base64(author.sign(pae(payloadType, Buffer.from(body)))) }],
});

test('what was signed is read again, by known keys and without any', () => {
  expect(verifyEnvelope(envelope, type, keys)).toEqual({
    payload: statement,
    signedBy: [author.id],
    unknown: [],
  });
  expect(verifyEnvelope(envelope, type)).toEqual({ payload: statement, signedBy: [author.id], unknown: [] });
  expect(read(readEnvelope(writeEnvelope(envelope)))).toEqual(statement);
});

test('the same statement and key give the same bytes, whatever the order of its members', () => {
  const { nested, torque, bores } = statement;
  expect(writeEnvelope(sign(type, { nested, torque, bores }, [author]))).toBe(writeEnvelope(envelope));
});

describe('what was changed', () => {
  const payload = base64(canonical({ ...statement, torque: '23 N·m' }));
  const [signature] = envelope.signatures;
  const sig = signature?.sig ?? '';
  const flipped = Buffer.from(sig, 'base64');
  flipped[40] = (flipped[40] ?? 0) ^ 1;
  test.each<readonly [string, unknown, string]>([
    ['the payload', { ...envelope, payload }, 'bad-signature'],
    ['the type, on both sides', { ...envelope, payloadType: 'x' }, 'other-type'],
    [
      'one bit of the signature',
      { ...envelope, signatures: [{ keyid: author.id, sig: base64(flipped) }] },
      'bad-signature',
    ],
    [
      'a signature cut short',
      { ...envelope, signatures: [{ keyid: author.id, sig: base64(flipped.subarray(1)) }] },
      'bad-signature',
    ],
    ['no signature', { ...envelope, signatures: [] }, 'no-signature'],
    ['no signatures', { payloadType: type, payload: envelope.payload }, 'no-envelope'],
    [
      'a signature that is no text',
      { ...envelope, signatures: [{ keyid: author.id, sig: 7 }] },
      'no-envelope',
    ],
    ['a key id that is no text', { ...envelope, signatures: [{ keyid: {}, sig }] }, 'no-envelope'],
    ['a list', [envelope], 'no-envelope'],
    ['nothing', null, 'no-envelope'],
    ['a line end in the base64', { ...envelope, payload: `${envelope.payload}\n` }, 'not-canonical'],
    [
      'base64 of URLs',
      {
        ...envelope,
        signatures: [{ keyid: author.id, sig: Buffer.from(sig, 'base64').toString('base64url') }],
      },
      'not-canonical',
    ],
    [
      'base64 with bits left over',
      {
        ...envelope,
        signatures: [
          {
            keyid: author.id,
            sig: sig.replace(/.==$/, (end) =>
              end === 'A==' ? 'B==' : `${String.fromCharCode(end.charCodeAt(0) + 1)}==`,
            ),
          },
        ],
      },
      'not-canonical',
    ],
    [
      'seventeen signatures',
      { ...envelope, signatures: Array.from({ length: 17 }, () => signature) },
      'too-large',
    ],
  ])('%s: %#', (_, one, fault) => {
    expect(read(one)).toBe(fault);
    expect(read(one, 'any')).toBe(fault);
  });

  test('the type, where the other one is expected, is covered by the signature', () => {
    const reading = verifyEnvelope({ ...envelope, payloadType: 'x' }, 'x', keys);
    expect(reading).toMatchObject({ wrong: 'bad-signature' });
  });

  test('bytes moved from the type to the body are not the same thing', () => {
    const body = canonical(statement);
    const moved = { ...envelope, payloadType: `${type} ${body.length}`, payload: base64('') };
    expect(verifyEnvelope(moved, moved.payloadType, keys)).toMatchObject({ wrong: 'bad-signature' });
  });

  test('an envelope that is too large is not looked into', () => {
    const huge = { ...envelope, payload: 'A'.repeat(64 * 1024 * 1024 + 4) };
    expect(read(huge)).toBe('too-large');
  });
});

describe('keys', () => {
  const other = sign(type, statement, [stranger]);

  test('only those that were given count', () => {
    expect(verifyEnvelope(other, type, keys)).toMatchObject({
      wrong: 'no-known-key',
      unknown: [stranger.id],
    });
    expect(read(other, 'any')).toEqual(statement);
    expect(read(envelope, [])).toBe('no-known-key');
  });

  test('a key id is no more than a hint: whose signature it is shows in the signature', () => {
    const [one] = envelope.signatures;
    for (const keyid of ['', 'lead', approver.id.slice(0, 20)]) {
      const renamed = { ...envelope, signatures: [{ keyid, sig: one?.sig ?? '' }] };
      expect(verifyEnvelope(renamed, type, keys)).toMatchObject({ signedBy: [author.id] });
    }
    const asAnother = { ...envelope, signatures: [{ keyid: approver.id, sig: one?.sig ?? '' }] };
    expect(verifyEnvelope(asAnother, type, keys)).toMatchObject({ signedBy: [author.id] });
    expect(read(asAnother, 'any')).toBe('bad-signature');
    expect(
      read({ ...envelope, signatures: [{ keyid: stranger.id, sig: one?.sig }] }, [approver.publicKey]),
    ).toBe('bad-signature');
  });

  test('a further signature by a key that nobody knows changes nothing', () => {
    const both = addSignature(envelope, stranger);
    expect(verifyEnvelope(both, type, keys)).toEqual({
      payload: statement,
      signedBy: [author.id],
      unknown: [stranger.id],
    });
    const foreign = {
      ...envelope,
      signatures: [...envelope.signatures, { keyid: 'another tool', sig: 'AAAA' }],
    };
    expect(read(foreign)).toEqual(statement);
  });

  test('a signature that is there twice counts once', () => {
    const twice = { ...envelope, signatures: [...envelope.signatures, ...envelope.signatures] };
    expect(verifyEnvelope(twice, type, keys)).toMatchObject({ signedBy: [author.id] });
    expect(addSignature(envelope, author)).toBe(envelope);
  });

  test('one bad signature of a key that is named spoils the good one beside it', () => {
    const bad = { keyid: approver.id, sig: base64(new Uint8Array(64)) };
    expect(read({ ...envelope, signatures: [...envelope.signatures, bad] })).toBe('bad-signature');
  });

  test('two sign the same bytes', () => {
    expect(verifyEnvelope(addSignature(envelope, approver), type, keys)).toMatchObject({
      signedBy: [author.id, approver.id],
    });
  });
});

describe('what is signed and no canonical JSON', () => {
  test.each<readonly [string, string | Uint8Array]>([
    ['no JSON', 'torque'],
    ['nothing', ''],
    ['white space', '{"a": 1}'],
    ['members in another order', '{"b":1,"a":2}'],
    ['a member twice', '{"a":1,"a":2}'],
    ['a number in another form', '1.0'],
    ['an escape that is not needed', '"\\u0061"'],
    ['half a character', '"\\ud800"'],
    ['a byte order mark', '\ufeff{}'],
    ['bytes that are no UTF-8', Uint8Array.of(0x22, 0xff, 0x22)],
  ])('%s', (_, body) => {
    expect(read(signRaw(body))).toBe('not-canonical');
  });

  test('a member called __proto__ stays a member', () => {
    const payload = read(signRaw('{"__proto__":{"approved":true}}'));
    expect(Object.keys(payload ?? {})).toEqual(['__proto__']);
    expect(payload).not.toHaveProperty('approved');
  });
});

test.each(['', '{', '[]', 'null', '"x"', '{"payload":"","payloadType":""}'])('no envelope: %j', (text) => {
  expect(readEnvelope(text)).toBeUndefined();
});
