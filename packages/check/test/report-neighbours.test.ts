import { mkdirSync, renameSync, symlinkSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { expect, test } from 'vitest';
import { checkPack } from '../src/index.ts';
import { folderOf, smallPack } from './folder.ts';

const step = '  - { step: cover-on,';
const refer = (pack: string, procedure: string): string =>
  `  - { step: on, refer-to: { pack: ${pack}, procedure: ${procedure}, title: What comes next } }\n`;

/** A small pack in folders of its name and revision. */
function shelfWith(to: string): { readonly shelf: string; readonly folder: string } {
  const shelf = folderOf({ '.keep': '' });
  const folder = join(shelf, 'gap-check/1.0.0');
  mkdirSync(dirname(folder), { recursive: true });
  renameSync(folderOf(smallPack([[step, `${to}${step}`]])), folder);
  return { shelf, folder };
}

const both = ['small', 'large'];
const other = (name: string, revision: string, procedure: string, variants = both): string => `format: 1
pack: ${name}
revision: ${revision}
title: Another pack
variants: { ${variants.map((one) => `${one}: { title: Engine ${one} }`).join(', ')} }
procedures:
  ${procedure}:
    title: What comes next
    steps: [{ step: look, do: Look. }]
`;
function put(shelf: string, name: string, revision: string, procedure: string, variants = both): void {
  mkdirSync(join(shelf, name, revision), { recursive: true });
  writeFileSync(join(shelf, name, revision, 'pack.yaml'), other(name, revision, procedure, variants));
}

async function said(folder: string): Promise<readonly string[]> {
  const { diagnostics } = await checkPack(folder, { withTrials: true });
  expect(diagnostics.filter((one) => one.code !== 'not-beside')).toEqual([]);
  return diagnostics.map(
    ({ severity, span, message, remedy }) =>
      `${severity} ${span?.file}:${span?.line}:${span?.column} ${message} ${remedy}`,
  );
}

test('a pack that stands alone may name what it likes', async () => {
  const { shelf, folder } = shelfWith(refer('nozzle-bench', 'bench-test'));
  expect(await said(folder)).toEqual([]);
  // A library is no pack, nor is a folder without one, nor what a link leads to.
  mkdirSync(join(shelf, 'workshop/1.0.0'), { recursive: true });
  writeFileSync(join(shelf, 'workshop/1.0.0/library.yaml'), 'library: workshop\n');
  mkdirSync(join(shelf, 'nozzle-bench/next'), { recursive: true });
  const elsewhere = folderOf({ '1.0.0/pack.yaml': other('nozzle-bench', '1.0.0', 'flow-test') });
  symlinkSync(elsewhere, join(shelf, 'nozzle-other'));
  expect(await said(folder)).toEqual([]);
});

test('a procedure that the neighbour has is right, and one that it has not is told where it is named', async () => {
  const { shelf, folder } = shelfWith(refer('nozzle-bench', 'bench-test'));
  put(shelf, 'nozzle-bench', '1.0.0', 'bench-test');
  expect(await said(folder)).toEqual([]);
  // The newest revision counts, by its number and not by its letters.
  put(shelf, 'nozzle-bench', '1.9.0', 'bench-tests');
  put(shelf, 'nozzle-bench', '1.10.0-draft', 'bench-test');
  put(shelf, 'nozzle-bench', '1.10.0', 'leak-test');
  const [says, ...more] = await said(folder);
  expect(more).toEqual([]);
  expect(says).toMatch(
    /^warning procedures\/check-gap\.yaml:21:60 nozzle-bench 1\.10\.0, .*no procedure bench-test\./,
  );
  expect(says).toContain('It has leak-test.');
  put(shelf, 'nozzle-bench', '2.0.0', 'bench-test');
  expect(await said(folder)).toEqual([]);
});

test('a pack that is not among the neighbours is told, with the one that was meant', async () => {
  const { shelf, folder } = shelfWith(refer('nozle-bench', 'bench-test'));
  put(shelf, 'nozzle-bench', '1.0.0', 'bench-test');
  const found = await said(folder);
  expect(found).toEqual([
    'warning procedures/check-gap.yaml:21:35 There is no pack nozle-bench beside this one. Did you mean nozzle-bench?',
  ]);
});

test('a neighbour that cannot be read says nothing here, and a pack elsewhere has none', async () => {
  const { shelf, folder } = shelfWith(refer('nozzle-bench', 'bench-test'));
  put(shelf, 'nozzle-bench', '1.0.0', 'leak-test');
  expect(await said(folder)).toHaveLength(1);
  writeFileSync(join(shelf, 'nozzle-bench/1.0.0/pack.yaml'), 'procedures: [');
  expect(await said(folder)).toEqual([]);
  put(shelf, 'nozzle-bench', '1.0.0', 'leak-test');
  const moved = join(shelf, 'gap-check/draft');
  renameSync(folder, moved);
  expect(await said(moved)).toEqual([]);
});

test('a variant that is led to a procedure which is not written for it is told', async () => {
  const { shelf, folder } = shelfWith(refer('nozzle-bench', 'bench-test'));
  put(shelf, 'nozzle-bench', '1.0.0', 'bench-test', ['large']);
  expect(await said(folder)).toEqual([
    'warning procedures/check-gap.yaml:21:60 nozzle-bench 1.0.0, which stands beside this pack, has bench-test for large only, and small would be led there too. Write only-if: { variant: [large] } where it is named, and say what is done for small.',
  ]);
  // Variants of another kind, such as the sizes of a nozzle, say nothing of the engines of this pack.
  put(shelf, 'nozzle-bench', '1.0.0', 'bench-test', ['long-tip', 'short-tip']);
  expect(await said(folder)).toEqual([]);

  const onlyLarge = refer('nozzle-bench', 'bench-test').replace(
    'on, refer',
    'on, only-if: { variant: [large] }, refer',
  );
  const other = shelfWith(onlyLarge);
  put(other.shelf, 'nozzle-bench', '1.0.0', 'bench-test', ['large']);
  expect(await said(other.folder)).toEqual([]);
});
