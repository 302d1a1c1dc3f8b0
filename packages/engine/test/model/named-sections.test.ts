import { readFileSync } from 'node:fs';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { expect, it } from 'vitest';
import { namedSections } from '../../src/model/index.ts';

it('are all sections of the format that hold things by name, but for what only a pack has', () => {
  const file = new URL('../../schema/pack.schema.yaml', import.meta.url);
  const { properties } = load(readFileSync(file, 'utf8'), { schema: FAILSAFE_SCHEMA }) as {
    properties: Readonly<Record<string, { readonly propertyNames?: unknown }>>;
  };
  const named = Object.keys(properties).filter((key) => properties[key]?.propertyNames !== undefined);
  expect(named.filter((key) => !['uses', 'trials'].includes(key)).sort()).toEqual([...namedSections].sort());
});
