import { bundleOf, readBundle, readPackFromFiles } from '@ferrule/source';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('bundles', () => {
  it('have one text and one digest for one document, however it is ordered', () => {
    const one = bundleOf({ b: ['0.20', { c: 'd' }], a: {} });
    // The digest was computed with coreutils' sha256sum over the text.
    expect(one).toEqual({
      text: '{"document":{"a":{},"b":["0.20",{"c":"d"}]},"format":"ferrule-bundle-1"}',
      digest: 'sha256:9b03473be09b050e54cb8572c29b84420bf554934f8e23f94f57c14d1d991c84',
    });
    expect(bundleOf({ a: {}, b: ['0.20', { c: 'd' }] })).toEqual(one);
    expect(bundleOf({ a: {}, b: ['0.2', { c: 'd' }] }).digest).not.toBe(one.digest);
  });

  it('do not depend on which file of a pack says what', () => {
    const pack = (files: Record<string, string>) =>
      bundleOf(readPackFromFiles(new Map(Object.entries(files))).document);
    const split = pack({
      'pack.yaml': 'pack: demo\n',
      'a.yaml': 'states: {pin: out}\n',
      'procedures/x.yaml': 'procedure: x\ntitle: y\n',
    });
    const whole = pack({
      'pack.yaml': '# one\nprocedures:\n  x: {title: "y"}\nstates:\n  pin: out\npack: demo\n',
    });
    expect(split).toEqual(whole);
  });

  it('lose nothing', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 6 }), (document) => {
        const { text, digest } = bundleOf(document);
        const read = readBundle(text);
        if (/"(?:__proto__|constructor|prototype)":/.test(text)) return;
        expect(read).toEqual({ document: JSON.parse(JSON.stringify(document)), digest, diagnostics: [] });
      }),
      { numRuns: 200 },
    );
  });

  const deep = (levels: number) =>
    `{"document":${'['.repeat(levels)}${']'.repeat(levels)},"format":"ferrule-bundle-1"}`;
  it.each([
    ['not JSON', '{', 'bundle-syntax'],
    ['nothing', '', 'bundle-syntax'],
    ['a space', '{"document":{}, "format":"ferrule-bundle-1"}', 'bundle-syntax'],
    ['a line feed after it', '{"document":{},"format":"ferrule-bundle-1"}\n', 'bundle-syntax'],
    ['another order', '{"format":"ferrule-bundle-1","document":{}}', 'bundle-syntax'],
    ['a key twice', '{"document":{"a":"1","a":"2"},"format":"ferrule-bundle-1"}', 'bundle-syntax'],
    [
      'a number that would be rounded',
      '{"document":0.10000000000000000001,"format":"ferrule-bundle-1"}',
      'bundle-syntax',
    ],
    ['a number beyond doubles', '{"document":1e999,"format":"ferrule-bundle-1"}', 'bundle-syntax'],
    ['an escape too many', '{"document":"\\u0061","format":"ferrule-bundle-1"}', 'bundle-syntax'],
    ['half a character', '{"document":"\\ud800","format":"ferrule-bundle-1"}', 'bundle-syntax'],
    ['another format', '{"document":{},"format":"ferrule-bundle-2"}', 'bundle-format'],
    [
      'something beside the document',
      '{"also":1,"document":{},"format":"ferrule-bundle-1"}',
      'bundle-format',
    ],
    ['no document', '{"format":"ferrule-bundle-1"}', 'bundle-format'],
    ['a list', '[]', 'bundle-format'],
    ['null', 'null', 'bundle-format'],
    ['__proto__', '{"document":[{"__proto__":{"b":1}}],"format":"ferrule-bundle-1"}', 'forbidden-key'],
    ['deep nesting', deep(100), 'too-deep'],
    ['very deep nesting', deep(2_000_000), 'too-deep'],
    ['very deep nesting, not closed', '{"a":'.repeat(1_000_000), 'too-deep'],
  ])('refuse %s', (_, text, code) => {
    const read = readBundle(text);
    expect(read.document).toBeUndefined();
    expect(read.diagnostics).toMatchObject([{ code, severity: 'error' }]);
  });

  it('count brackets outside texts only', () => {
    const document = { a: '[[[[{{{{"\\'.repeat(100) };
    expect(readBundle(bundleOf(document).text)).toMatchObject({ document });
    expect(readBundle(deep(64)).diagnostics).toEqual([]);
  });

  it('throw for a document that is not JSON, which is a bug of the caller', () => {
    expect(() => bundleOf({ a: undefined })).toThrow(TypeError);
  });
});
