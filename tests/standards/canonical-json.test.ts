import { canonical, digestOf } from '@ferrule/signing';
import { describe, expect, it } from 'vitest';

function doubleOf(bits: bigint): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, bits);
  return view.getFloat64(0);
}

// RFC 8785 Appendix B: IEEE 754 bits and their text. Read in several public test suites that quote the table
// (the rows 1, 2e…50, …8c, …8d, 41b3…55 and 8000… also in this project's check values, read).
const appendixB: readonly (readonly [string, string])[] = [
  ['0000000000000000', '0'],
  ['8000000000000000', '0'],
  ['0000000000000001', '5e-324'],
  ['8000000000000001', '-5e-324'],
  ['7fefffffffffffff', '1.7976931348623157e+308'],
  ['ffefffffffffffff', '-1.7976931348623157e+308'],
  ['4340000000000000', '9007199254740992'],
  ['c340000000000000', '-9007199254740992'],
  ['4430000000000000', '295147905179352830000'],
  ['44b52d02c7e14af5', '9.999999999999997e+22'],
  ['44b52d02c7e14af6', '1e+23'],
  ['44b52d02c7e14af7', '1.0000000000000001e+23'],
  ['444b1ae4d6e2ef4e', '999999999999999700000'],
  ['444b1ae4d6e2ef4f', '999999999999999900000'],
  ['444b1ae4d6e2ef50', '1e+21'],
  ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
  ['3eb0c6f7a0b5ed8d', '0.000001'],
  ['41b3de4355555553', '333333333.3333332'],
  ['41b3de4355555554', '333333333.33333325'],
  ['41b3de4355555555', '333333333.3333333'],
  ['41b3de4355555556', '333333333.3333334'],
  ['41b3de4355555557', '333333333.33333343'],
  ['becbf647612f3696', '-0.0000033333333333333333'],
  ['43143ff3c1cb0959', '1424953923781206.2'],
];

describe('RFC 8785 Appendix B, numbers', () => {
  it.each(appendixB)('%s', (bits, text) => {
    expect(canonical(doubleOf(BigInt(`0x${bits}`)))).toBe(text);
  });
  it.each(['7fffffffffffffff', '7ff0000000000000', 'fff0000000000000'])('%s is refused', (bits) => {
    expect(() => canonical(doubleOf(BigInt(`0x${bits}`)))).toThrow(TypeError);
  });
});

// The six file pairs of the reference test data, cyberphone/json-canonicalization testdata/ (Apache-2.0).
// Inputs and outputs read there, except the output of `arrays`, which is from memory.
const pairs: readonly (readonly [string, string, string])[] = [
  [
    'arrays',
    '[\n  56,\n  {\n    "d": true,\n    "10": null,\n    "1": [ ]\n  }\n]',
    '[56,{"1":[],"10":null,"d":true}]',
  ],
  [
    'french',
    '{"peach": "This sorting order", "péché": "is wrong according to French", "pêche": "but canonicalization MUST", "sin": "ingnore locale"}',
    '{"peach":"This sorting order","péché":"is wrong according to French","pêche":"but canonicalization MUST","sin":"ingnore locale"}',
  ],
  [
    'structures',
    '{"1": {"f": {"f": "hi","F": 5} ,"\\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}',
    '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}',
  ],
  [
    'unicode, as stored',
    '{"Unnormalized Unicode":"\\u1e0d\\u0307"}',
    '{"Unnormalized Unicode":"\u1e0d\u0307"}',
  ],
  [
    'values',
    '{"numbers": [1E30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001], "escaping": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}',
    '{"escaping":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/","literals":[null,true,false],"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}',
  ],
  [
    'weird',
    '{"\\u20ac": "Euro Sign", "1": "One", "\\u0080": "Control\\u007f", "\\ud83d\\ude02": "Smiley", "\\u00f6": "Latin Small Letter O With Diaeresis", "\\ufb33": "Hebrew Letter Dalet With Dagesh", "</script>": "Browser Challenge"}',
    '{"1":"One","</script>":"Browser Challenge","\u0080":"Control\u007f","ö":"Latin Small Letter O With Diaeresis","€":"Euro Sign","😂":"Smiley","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
  ],
];

describe('RFC 8785 reference file pairs', () => {
  it.each(pairs)('%s', (_, input, output) => {
    expect(canonical(JSON.parse(input))).toBe(output);
  });
});

// RFC 8785 clause 3.2.3: the property names of its sorting example, in the order that the clause states (from memory).
it('RFC 8785 clause 3.2.3, sorting by UTF-16 code units', () => {
  const names = ['\r', '1', '\u0080', '\u00f6', '\u20ac', '\ud83d\ude00', '\ufb33'];
  const shuffled = Object.fromEntries([3, 6, 0, 5, 1, 4, 2].map((index) => [names[index] ?? '', index]));
  expect(Object.keys(JSON.parse(canonical(shuffled)))).toEqual([
    '1',
    ...names.filter((name) => name !== '1'),
  ]);
  expect(
    canonical(shuffled)
      .match(/"(?:[^"\\]|\\.)*"/gu)
      ?.map((name) => JSON.parse(name)),
  ).toEqual(names);
});

// The number corpus of cyberphone/json-canonicalization: 54 magnitudes with both signs between two groups of
// edge cases, then consecutive bit patterns from the smallest normal number. Values, order, line form
// (`hex,text` and a line feed), length and hash of the first 1,000 lines read there.
const magnitudes = `
446696695dbd1cc3 443211ede4974a35 43fce97ca0f21056 43c7213080c1a6ac 439280f39a348556 435d9b1f5d20d557
4327af4c4a80aaac 42f2f2a36ecd5556 42be51057e155558 428840d131aaaaac 4253670dc1555557 421f0b4935555557
41e8d5d42aaaaaac 41b3de4355555556 417fca0555555556 41496e6aaaaaaaab 4114585555555555 40e046aaaaaaaaab
40aa0aaaaaaaaaaa 4074d55555555555 4040aaaaaaaaaaab 400aaaaaaaaaaaab 3fd5555555555555 3fa1111111111111
3f6b4e81b4e81b4f 3f35d867c3ece2a5 3f0179ec9cbd821e 3ecbf647612f3696 3e965e9f80f29212 3e61e54c672874db
3e2ca213d840baf8 3df6e80fe033c8c6 3dc2533fe68fd3d2 3d8d51ffd74c861c 3d5774ccac3d3817 3d22c3d6f030f9ac
3cee0624b3818f79 3cb804ea293472c7 3c833721ba905bd3 3c4ebe9c5db3c61e 3c18987d17c304e5 3be3ad30dfcf371d
3baf7b816618582f 3b792f9ab81379bf 3b442615600f9499 3b101e77800c76e1 3ad9ca58cce0be35 3aa4a1e0a3e6fe90
3a708180831f320d 3a3a68cd9e985016`;
const edges = `
4024000000000000 4014000000000000 3fe0000000000000 3fa999999999999a 3f747ae147ae147b 3f40624dd2f1a9fc
3f0a36e2eb1c432d 3ed4f8b588e368f1 3ea0c6f7a0b5ed8d 3e6ad7f29abcaf48 3e35798ee2308c3a 3ed539223589fa95
3ed4ff26cd5a7781 3ed4f95a762283ff 3ed4f8c60703520c 3ed4f8b72f19cd0d 3ed4f8b5b31c0c8d 3ed4f8b58d1c461a
3ed4f8b5894f7f0e 3ed4f8b588ee37f3 3ed4f8b588e47da4 3ed4f8b588e3849c 3ed4f8b588e36bb5 3ed4f8b588e36937
3ed4f8b588e368f8 3ed4f8b588e368f1 3ff0000000000000 bff0000000000000 bfeffffffffffffa bfeffffffffffffb
3feffffffffffffa 3feffffffffffffb 3feffffffffffffc 3feffffffffffffe bfefffffffffffff bfefffffffffffff
3fefffffffffffff 3fefffffffffffff 3fd3333333333332 3fd3333333333333 3fd3333333333334 0010000000000000
000ffffffffffffd 000fffffffffffff 7fefffffffffffff ffefffffffffffff 4340000000000000 c340000000000000
4430000000000000 44b52d02c7e14af5 44b52d02c7e14af6 44b52d02c7e14af7 444b1ae4d6e2ef4e 444b1ae4d6e2ef4f
444b1ae4d6e2ef50 3eb0c6f7a0b5ed8c 3eb0c6f7a0b5ed8d 41b3de4355555553 41b3de4355555554 41b3de4355555555
41b3de4355555556 41b3de4355555557 becbf647612f3696 43143ff3c1cb0959`;

it('the first 1,000 lines of the ECMAScript number corpus, 37,967 bytes', () => {
  const words = (text: string) => text.match(/[0-9a-f]{16}/g)?.map((word) => BigInt(`0x${word}`)) ?? [];
  const sign = 1n << 63n;
  const listed = [
    ...[0n, sign, 1n, sign | 1n],
    ...words(magnitudes).map((bits) => sign | bits),
    ...words(magnitudes),
    ...words(edges),
  ];
  const smallestNormal = 0x0010000000000000n;
  const lines = Array.from({ length: 1000 }, (_, index) => {
    const bits = listed[index] ?? smallestNormal + BigInt(index - listed.length);
    return `${bits.toString(16)},${canonical(doubleOf(bits))}\n`;
  }).join('');
  expect(lines.length).toBe(37_967);
  expect(digestOf(lines)).toBe('sha256:be18b62b6f69cdab33a7e0dae0d9cfa869fda80ddc712221570f9f40a5878687');
});
