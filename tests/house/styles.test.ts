import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const source = fileURLToPath(new URL('../../packages/page/src', import.meta.url));

/** The style sheets that a file brings in, by their names. */
const sheetsOf = (file: string): readonly string[] =>
  [
    ...readFileSync(join(source, file), 'utf8').matchAll(
      /import\s+["'](?:\.|\.\.)\/(?:style\/)?([a-z-]+\.css)["']/g,
    ),
  ].map(([, name = '']) => name);

/** Sheets that stand together: those of the whole page, and those that each screen fetches for itself. */
const groups: readonly (readonly string[])[] = [
  sheetsIn('style/page.css'),
  ...readdirSync(join(source, 'screens'))
    .map((file) => sheetsOf(join('screens', file)))
    .filter((sheets) => sheets.length > 0),
];

function sheetsIn(file: string): readonly string[] {
  return [...readFileSync(join(source, file), 'utf8').matchAll(/@import "\.\/([a-z-]+\.css)"/g)].map(
    ([, name = '']) => name,
  );
}

/** The classes that a sheet styles wherever they stand: what is narrowed down by a class around it is its own. */
function classesIn(sheet: string): ReadonlySet<string> {
  const text = readFileSync(join(source, 'style', sheet), 'utf8').replace(/\/\*.*?\*\//gs, '');
  const selectors = [...text.matchAll(/([^{};]+)\{/g)].flatMap(([, some = '']) => some.split(','));
  return new Set(selectors.flatMap((one) => /^\s*\.([\w-]+)[^\s>+~]*\s*$/.exec(one)?.[1] ?? []));
}

test('no screen styles what another one styles by the same class: a sheet that was fetched stays', () => {
  expect(groups.flat()).toEqual(expect.arrayContaining(['frame.css', 'engine.css', 'pack.css', 'audit.css']));
  const together = (one: string, other: string): boolean =>
    groups.some((group) => group.includes(one) && group.includes(other));
  const sheets = [...new Set(groups.flat())].filter((one) => one !== 'print.css');
  const clashes = sheets.flatMap((one, index) =>
    sheets
      .slice(index + 1)
      .filter((other) => !together(one, other))
      .flatMap((other) => {
        const theirs = classesIn(other);
        return [...classesIn(one)]
          .filter((name) => theirs.has(name))
          .map((name) => `${name}: ${one}, ${other}`);
      }),
  );
  expect(clashes).toEqual([]);
});
