import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { describe, expect, it } from 'vitest';
import { folderOf, smallPack } from './folder.ts';

const library = `format: '1'
library: workshop
revision: 1.0.0
title: What the workshop shares
hazards:
  fire: { signal: warning, text: Spilt fuel burns. Have the extinguisher within reach. }
variants:
  small: { title: Small engine, facts: { bore: 96 mm } }
`;
const check = (text: string, more: Readonly<Record<string, string>> = {}) =>
  checkPack(folderOf({ 'library.yaml': text, ...more }));

describe('the folder of a library', () => {
  it('is held against the format, and told by its digest', async () => {
    const { library: found, pack, diagnostics, proofs } = await check(library);
    expect(diagnostics).toEqual([]);
    expect(found).toEqual({
      name: 'workshop',
      revision: '1.0.0',
      title: 'What the workshop shares',
      digest: expect.stringMatching(/^sha256:[0-9a-f]{64}$/),
    });
    expect(pack).toBeUndefined();
    expect(proofs).toEqual([]);
  });

  it.each([
    ['a slip in a word', ['signal: warning', 'signal: warnnig'], 'wrong-value', 6, 'Did you mean warning?'],
    ['no title', ['title: What the workshop shares\n', ''], 'missing-key', 1, undefined],
    ['a key of packs', ["format: '1'", "trials: {}\nformat: '1'"], 'unknown-key', 1, 'A library has roles, '],
    [
      'a key that is nowhere',
      ["format: '1'", "hazzards: {}\nformat: '1'"],
      'unknown-key',
      1,
      'A library has roles, ',
    ],
  ] as const)('%s is told at its place', async (_, [from, to], code, line, remedy) => {
    const { library: found, diagnostics } = await check(library.replace(from, to));
    expect(diagnostics.map((one) => [one.code, one.span?.file, one.span?.line])).toEqual([
      [code, 'library.yaml', line],
    ]);
    if (remedy !== undefined) expect(diagnostics[0]?.remedy).toContain(remedy);
    expect(found).toBeUndefined();
  });

  it('may hold procedures too, each by itself', async () => {
    const { diagnostics } = await check(library, {
      'procedures/look.yaml': 'procedure: look\ntitle: Look\nsteps:\n  - { step: look, doo: Look at it. }\n',
    });
    expect(diagnostics.map((one) => [one.code, one.span?.file, one.remedy])).toEqual([
      ['unknown-key', 'procedures/look.yaml', 'Did you mean do?'],
    ]);
  });
});

describe('a pack that uses a library', () => {
  const using = async (revision = '1.0.0') => {
    const { library: found } = await check(library);
    const uses = `uses: { workshop: { revision: ${revision}, digest: '${found?.digest}' } }\nroles:`;
    const files = smallPack([
      ['roles:', uses],
      ['small: { title: Small engine }', 'small: {}'],
      ['step: cover-off, do', 'step: cover-off, hazards: [fire], do'],
    ]);
    const beside = Object.entries(files).map(
      ([path, text]) => [join('gap-check/1.0.0', path), text] as const,
    );
    const folder = folderOf({ ...Object.fromEntries(beside), 'workshop/1.0.0/library.yaml': library });
    return checkPack(join(folder, 'gap-check/1.0.0'));
  };

  it('is clean, though it does not use all that is said of what it takes', async () => {
    const { diagnostics, pack, proofs } = await using();
    expect(diagnostics).toEqual([]);
    expect(pack?.variants['small']).toEqual({ title: 'Small engine', facts: { bore: '96 mm' } });
    expect(proofs).toHaveLength(2);
  });

  it('is told which library is missing, and nothing that follows from it', async () => {
    const { diagnostics } = await using('1.1.0');
    expect(diagnostics.map(({ code }) => code)).toEqual(['missing-library']);
  });
});
