// Ed25519: RFC 8032, clause 7.1 (tests 1 to 3; all read). DSSE: the protocol document of DSSE 1.0, its example of the
// pre-authentication encoding (read). Points of small order: computed here from the curve of RFC 8032, clause 5.1.
import { createPrivateKey } from 'node:crypto';
import { PrivateKey, pae, parsePrivateKey, parsePublicKey } from '@ferrule/signing';
import { describe, expect, test } from 'vitest';

const bytes = (hex: string): Buffer => Buffer.from(hex, 'hex');
const hex = (raw: Uint8Array): string => Buffer.from(raw).toString('hex');

/** A private key by its 32 bytes, as PKCS#8 (RFC 8410, clause 7). */
const pemOf = (secret: string): string =>
  createPrivateKey({
    key: Buffer.concat([bytes('302e020100300506032b657004220420'), bytes(secret)]),
    format: 'der',
    type: 'pkcs8',
  })
    .export({ type: 'pkcs8', format: 'pem' })
    .toString();

function privateKey(secret: string): PrivateKey {
  const key = parsePrivateKey(pemOf(secret));
  if (!(key instanceof PrivateKey)) throw new Error(key.wrong);
  return key;
}

describe('Ed25519', () => {
  test.each([
    [
      'test 1',
      '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
      'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
      '',
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
    ],
    [
      'test 2',
      '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
      '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
      '72',
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
    ],
  ])('signs as %s of RFC 8032', (_, secret, publicHalf, message, signature) => {
    const key = privateKey(secret);
    expect(key.id).toBe(`ed25519:${publicHalf}`);
    expect(hex(key.sign(bytes(message)))).toBe(signature);
    expect(key.publicKey.verifies(bytes(message), bytes(signature))).toBe(true);
  });

  test('verifies test 3 of RFC 8032, and not what is changed in it by one bit', () => {
    const key = parsePublicKey('ed25519:fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025');
    if ('wrong' in key) throw new Error(key.wrong);
    const signature = bytes(
      '6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a',
    );
    expect(key.verifies(bytes('af82'), signature)).toBe(true);
    expect(key.verifies(bytes('af83'), signature)).toBe(false);
    for (let bit = 0; bit < 512; bit++) {
      const changed = Buffer.from(signature);
      changed[bit >> 3] = (changed[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      expect(key.verifies(bytes('af82'), changed), `bit ${bit}`).toBe(false);
    }
  });

  test('a signature whose second half has the order of the group added is none (RFC 8032, clause 5.1.7)', () => {
    const order = 2n ** 252n + 27742317777372353535851937790883648493n;
    const key = privateKey('9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60');
    const signature = Buffer.from(key.sign(bytes('72')));
    const half = BigInt(`0x${hex(signature.subarray(32).reverse())}`);
    const more = bytes((half + order).toString(16).padStart(64, '0')).reverse();
    signature.subarray(32).reverse();
    const changed = Buffer.concat([signature.subarray(0, 32), more]);
    expect(key.publicKey.verifies(bytes('72'), changed)).toBe(false);
  });

  test.each([0, 63, 65, 128])('a signature of %s bytes is none, and nothing is thrown', (length) => {
    const key = privateKey('9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60');
    expect(key.publicKey.verifies(bytes('72'), new Uint8Array(length))).toBe(false);
  });
});

describe('points of small order', () => {
  const p = 2n ** 255n - 19n;
  const mod = (n: bigint): bigint => ((n % p) + p) % p;
  const power = (base: bigint, exponent: bigint): bigint => {
    let [result, square] = [1n, mod(base)];
    for (let rest = exponent; rest > 0n; rest >>= 1n) {
      if (rest & 1n) result = mod(result * square);
      square = mod(square * square);
    }
    return result;
  };
  const invert = (n: bigint): bigint => power(n, p - 2n);
  const d = mod(-121665n * invert(121666n));
  const root = (square: bigint): bigint | undefined => {
    const first = power(square, (p + 3n) / 8n);
    const second = mod(first * power(2n, (p - 1n) / 4n));
    return [first, second].find((x) => mod(x * x) === mod(square));
  };
  type Point = readonly [bigint, bigint];
  const add = ([x1, y1]: Point, [x2, y2]: Point): Point => {
    const product = mod(d * x1 * x2 * y1 * y2);
    return [mod((x1 * y2 + y1 * x2) * invert(1n + product)), mod((y1 * y2 + x1 * x2) * invert(1n - product))];
  };
  const times = (factor: bigint, point: Point): Point => {
    let [result, double]: [Point, Point] = [[0n, 1n], point];
    for (let rest = factor; rest > 0n; rest >>= 1n) {
      if (rest & 1n) result = add(result, double);
      double = add(double, double);
    }
    return result;
  };
  const idOf = (y: bigint, sign: 0n | 1n): string =>
    `ed25519:${bytes((y | (sign << 255n)).toString(16).padStart(64, '0'))
      .reverse()
      .toString('hex')}`;

  /** Every y of a point whose order divides eight: a point of the curve times the order of the group is one of these. */
  function smallOrders(): ReadonlySet<bigint> {
    const order = 2n ** 252n + 27742317777372353535851937790883648493n;
    const found = new Set<bigint>();
    for (let y = 2n; found.size < 5 && y < 400n; y++) {
      const x = root(mod((y * y - 1n) * invert(mod(d * y * y + 1n))));
      if (x === undefined) continue;
      const small = times(order, [x, y]);
      for (let k = 1n; k <= 8n; k++) found.add(times(k, small)[1]);
    }
    return found;
  }

  test('are no keys, in any of their encodings', () => {
    const ys = smallOrders();
    expect(ys.size).toBe(5);
    for (const y of ys) {
      for (const written of [y, y + p].filter((one) => one < 2n ** 255n)) {
        for (const sign of [0n, 1n] as const) {
          expect(parsePublicKey(idOf(written, sign)), idOf(written, sign)).toHaveProperty('wrong');
        }
      }
    }
  });
});

test('the encoding before signing is that of the example in the protocol of DSSE', () => {
  const encoded = pae('http://example.com/HelloWorld', Buffer.from('hello world'));
  expect(Buffer.from(encoded).toString()).toBe('DSSEv1 29 http://example.com/HelloWorld 11 hello world');
});

test('lengths in the encoding count bytes, not characters', () => {
  expect(Buffer.from(pae('ä', Buffer.from('°'))).toString()).toBe('DSSEv1 2 ä 2 °');
});
