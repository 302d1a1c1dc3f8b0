import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { boundaryFaults } from './boundary-rules.ts';
import { importGraph, type Sources } from './import-graph.ts';

const root = fileURLToPath(new URL('../..', import.meta.url));

function sourcesOfCheckout(): Sources {
  const files = readdirSync(join(root, 'packages'), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(?:tsx?|js)$/.test(entry.name) && !entry.name.endsWith('.d.ts'))
    .map((entry) => join(entry.parentPath, entry.name).slice(root.length).replaceAll('\\', '/'))
    .filter((file) => /^packages\/[^/]+\/src\//.test(file));
  return Object.fromEntries(files.map((file) => [file, readFileSync(join(root, file), 'utf8')]));
}

describe('boundaries', () => {
  it('hold in the sources', async () => {
    const sources = sourcesOfCheckout();
    expect(Object.keys(sources).length).toBeGreaterThan(20);
    expect(await boundaryFaults(sources)).toEqual([]);
  });

  it('leave an orderly graph alone', async () => {
    expect(
      await boundaryFaults({
        'packages/engine/src/index.ts': `export * from './model/plan.ts';`,
        'packages/engine/src/quantity/quantity.ts': 'export type Quantity = bigint;',
        'packages/engine/src/logic/answer.ts':
          "import logic from 'json-logic-js';\nexport const answer = (x: unknown) => logic.apply(x);",
        'packages/engine/src/model/plan.ts': [
          "import type { Quantity } from '../quantity/quantity.ts';",
          "import { answer } from '../logic/answer.ts';",
          '// Date.now() in a comment, and a local of that name, are no clock.',
          'export const since = (then: string, now: string) => Date.parse(now) - Date.parse(then);',
          "export const plan = (Date: Quantity, console = 'eval(1)') => [answer(Date), console];",
        ].join('\n'),
        'packages/cli/src/main.ts':
          "import { plan } from '@ferrule/engine';\nimport process from 'node:process';\nconsole.log(plan, process.argv);",
      }),
    ).toEqual([]);
  });
});

describe('the boundary check bites', () => {
  const engine = (text: string): Sources => ({ 'packages/engine/src/logic/answer.ts': text });
  const cases: readonly (readonly [string, Sources, readonly RegExp[]])[] = [
    [
      'a package that may not be imported',
      engine("import '@ferrule/source';"),
      [/engine may not import source/],
    ],
    [
      'a service that imports the shell, by a type only',
      { 'packages/check/src/check.ts': "import type { Verb } from '@ferrule/cli';" },
      [/check may not import cli/],
    ],
    [
      'the inside of another package',
      { 'packages/source/src/read.ts': "import '@ferrule/engine/src/model/plan.ts';" },
      [/by a name that it exports/],
    ],
    [
      'another package by a path',
      {
        'packages/source/src/read.ts': "export { plan } from '../../engine/src/plan.ts';",
        'packages/engine/src/plan.ts': 'export const plan = 1;',
      },
      [/another package is imported by its name/],
    ],
    [
      'a package that nobody knows',
      { 'packages/extra/src/index.ts': '' },
      [/no line in the table of packages/],
    ],
    [
      'a folder that nobody knows',
      { 'packages/engine/src/misc/a.ts': '' },
      [/no line in the table of engine folders/],
    ],
    ['a dependency without leave', engine("import 'js-yaml';"), [/has no leave/]],
    [
      'a Node built-in',
      engine("import { readFileSync } from 'fs'; readFileSync('x');"),
      [/no Node built-in/],
    ],
    ['a Node built-in, later', engine("export const read = () => import('node:fs');"), [/no Node built-in/]],
    ['a file that is not there', engine("export * from './gone.ts';"), [/no such file/]],
    [
      'an earlier folder that imports a later one, by a type only',
      {
        ...engine("import type { Plan } from '../model/plan.ts';"),
        'packages/engine/src/model/plan.ts': 'export type Plan = 1;',
      },
      [/logic may not import model/],
    ],
    [
      'the same inside a type',
      {
        ...engine("export type Plan = import('../model/plan.ts').Plan;"),
        'packages/engine/src/model/plan.ts': 'export type Plan = 1;',
      },
      [/logic may not import model/],
    ],
    [
      'folders of the same rank',
      { ...engine("import '../crank/stop.ts';"), 'packages/engine/src/crank/stop.ts': '' },
      [/logic may not import crank/],
    ],
    [
      'a circle of three',
      {
        'packages/engine/src/job/a.ts': "import './b.ts';",
        'packages/engine/src/job/b.ts': "export * from './c.ts';",
        'packages/engine/src/job/c.ts': "import type { A } from './a.ts';",
      },
      [/a circle of imports: .*a\.ts → .*b\.ts → .*c\.ts → .*a\.ts/],
    ],
    ['a clock', engine('export const now = () => Date.now();'), [/uses Date/]],
    ['today', engine('export const today = new Date();'), [/uses Date/]],
    ['a clock by another name', engine('const { now } = Date;\nexport const n = now();'), [/uses Date/]],
    ['chance', engine('export const any = Math.random();'), [/uses Math\.random/]],
    [
      'code from text',
      engine("export const f = [eval('1'), new Function('return 1')];"),
      [/uses Function/, /uses eval/],
    ],
    [
      'a locale',
      engine('export const n = (1.5).toLocaleString() + Intl;'),
      [/uses \.toLocaleString/, /uses Intl/],
    ],
    ['a way around', engine("export const c = globalThis['Date'];"), [/uses globalThis/]],
    ['a service that prints', { 'packages/check/src/a.ts': "console.log('x');" }, [/uses console/]],
    [
      'a service that ends the process',
      { 'packages/records/src/a.ts': "import { exit } from 'node:process';\nexit(process.pid);" },
      [/only a shell/, /uses process/],
    ],
  ];
  it.each(cases)('on %s', async (_, sources, expected) => {
    const faults = await boundaryFaults(sources);
    expect(faults.length, faults.join('\n')).toBe(expected.length);
    for (const [place, pattern] of expected.entries()) expect(faults[place]).toMatch(pattern);
  });

  it('and its graph has every form of import', async () => {
    const text = [
      "import a, { type B } from './1.ts';",
      "import type C from './2.ts';",
      "import type { D } from './3.ts';",
      "import type * as E from './4.ts';",
      "export type { F } from './5.ts';",
      "export * from './6.ts';",
      "import { type G } from './7.ts';",
      "export const h = () => import('./8.ts');",
      "type I = import('./9.ts').I;",
      "import './10.ts';",
      'export type J = string;',
    ].join('\n');
    const graph = await importGraph({ 'packages/engine/src/job/a.ts': text });
    expect(graph.get('packages/engine/src/job/a.ts')).toHaveLength(10);
  });
});
