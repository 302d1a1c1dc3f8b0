import { digestOf } from '@ferrule/signing';
import { describe, expect, it } from 'vitest';

// SHA-256 of the empty message, of "abc" and of the 448-bit message: NIST's example values for FIPS 180-4, from memory.
const known: readonly (readonly [string, string])[] = [
  ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  [
    'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
    '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
  ],
];

describe('digestOf', () => {
  it.each(known)('%j', (text, hex) => {
    expect(digestOf(text)).toBe(`sha256:${hex}`);
    expect(digestOf(new TextEncoder().encode(text))).toBe(`sha256:${hex}`);
  });
  it('takes text as UTF-8', () => {
    expect(digestOf('N·m')).toBe(digestOf(Uint8Array.of(0x4e, 0xc2, 0xb7, 0x6d)));
  });
  it('refuses text without a UTF-8 form', () => {
    expect(() => digestOf('\ud800')).toThrow(TypeError);
  });
});
