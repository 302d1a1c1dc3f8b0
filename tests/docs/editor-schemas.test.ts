import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import Ajv from 'ajv/dist/2020.js';
import { load } from 'js-yaml';
import { describe, expect, test } from 'vitest';
import { libraries, overlays, packs } from '../packs/copy-pack.ts';

// An editor holds one file against one schema, and reads YAML with its usual types.
const root = join(import.meta.dirname, '../..');
const schemaOf = (kind: string) => {
  const text = readFileSync(join(root, `packages/engine/schema/${kind}.schema.json`), 'utf8');
  const ajv = new Ajv.default({ strict: false, allErrors: true, allowUnionTypes: true });
  return ajv.compile(JSON.parse(text));
};
const schemas = {
  sections: schemaOf('section-file'),
  procedures: schemaOf('procedure-file'),
  trials: schemaOf('trial-file'),
  overlays: schemaOf('overlay-file'),
};

const filesIn = (folder: string): readonly string[] =>
  existsSync(folder)
    ? readdirSync(folder, { withFileTypes: true })
        .filter((one) => one.isFile() && one.name.endsWith('.yaml'))
        .map((one) => join(folder, one.name))
    : [];

describe.each([...packs, ...libraries])('%s', (pack) => {
  const folder = join(root, 'specs', pack);
  test.each([
    ['sections', filesIn(folder)],
    ['procedures', filesIn(join(folder, 'procedures'))],
    ['trials', filesIn(join(folder, 'trials'))],
  ] as const)('every file of %s fits its schema as an editor reads it', (kind, files) => {
    expect(files.length > 0 || (kind !== 'sections' && libraries.includes(pack))).toBe(true);
    for (const file of files) {
      const fits = schemas[kind](load(readFileSync(file, 'utf8')));
      expect([file, fits, schemas[kind].errors ?? []]).toEqual([file, true, []]);
    }
  });
});

describe.each(overlays)('%s', (overlay) => {
  const folder = join(root, 'specs', overlay);
  test.each([
    ['overlays', filesIn(folder)],
    ['trials', filesIn(join(folder, 'trials'))],
  ] as const)('every file of %s fits its schema as an editor reads it', (kind, files) => {
    expect(files.length).toBeGreaterThan(0);
    for (const file of files) {
      const fits = schemas[kind](load(readFileSync(file, 'utf8')));
      expect([file, fits, schemas[kind].errors ?? []]).toEqual([file, true, []]);
    }
  });
});

test('a slip is seen while it is typed', () => {
  const step = { step: 'clamp', do: 'Clamp it.', jugde: 'drift-limits' };
  expect(schemas.procedures({ procedure: 'clamp-it', title: 'Clamp', steps: [step] })).toBe(false);
  expect(schemas.procedures({ title: 'Clamp', steps: [{ step: 'clamp', do: 'Clamp it.' }] })).toBe(false);
  expect(schemas.sections({ format: 1, hazards: { hot: { signal: 'danger!', text: 'Hot.' } } })).toBe(false);
  expect(schemas.overlays({ witnesses: [{ step: 'fit-pump/clamp', witnes: 'lead' }] })).toBe(false);
  expect(schemas.sections({ overlaid: {} })).toBe(false);
  expect(schemas.trials({ trials: [{ says: 'No name.' }] })).toBe(false);
});
