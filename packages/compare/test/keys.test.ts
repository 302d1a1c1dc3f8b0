import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { isMapping, type Mapping, mappingOf } from '../src/json.ts';
import {
  interlockKeys,
  type Keys,
  nodeKeys,
  packKeys,
  procedureKeys,
  releaseKeys,
  reworkKeys,
} from '../src/keys.ts';

const schema: unknown = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../engine/schema/pack.schema.json'), 'utf8'),
);
const definitions = mappingOf(mappingOf(schema)['$defs']);

/** What a reference leads to, and of a map by names what stands under each. */
function resolved(value: unknown): Mapping {
  const found = mappingOf(value);
  const reference = found['$ref'];
  if (typeof reference === 'string') return resolved(definitions[reference.replace('#/$defs/', '')]);
  return isMapping(found['properties']) || !isMapping(found['additionalProperties'])
    ? found
    : resolved(found['additionalProperties']);
}

const namesOf = (value: unknown): readonly string[] =>
  Object.keys(mappingOf(resolved(value)['properties'])).sort();

/** Each place where the table and the schema have other keys. */
function differences(keys: Keys, form: unknown, at: string): readonly string[] {
  const properties = mappingOf(resolved(form)['properties']);
  const here = namesOf(form);
  const missing = here
    .filter((key) => !Object.hasOwn(keys, key))
    .map((key) => `${at}/${key}: not in the table`);
  const gone = Object.keys(keys)
    .filter((key) => !here.includes(key))
    .map((key) => `${at}/${key}: not in the schema`);
  const inside = Object.entries(keys).flatMap(([key, one]) =>
    one.form === 'keys' || one.form === 'things'
      ? differences(one.keys, properties[key], `${at}/${key}`)
      : [],
  );
  return [...missing, ...gone, ...inside];
}

test('every key of the format says how it is compared', () => {
  expect(differences(packKeys, schema, '')).toEqual([]);
  const definition = (name: string): unknown => definitions[name];
  const nodes = {
    step: 'Step',
    block: 'Block',
    each: 'Each',
    perform: 'Perform',
    choose: 'Choose',
    hold: 'HoldPoint',
  };
  for (const [kind, name] of Object.entries(nodes))
    expect(differences(nodeKeys[kind] ?? {}, definition(name), kind)).toEqual([]);
  expect(differences(interlockKeys, definition('Interlock'), 'interlock')).toEqual([]);
  expect(differences(procedureKeys, definition('Procedure'), 'procedure')).toEqual([]);
  expect(differences(reworkKeys, definition('Rework'), 'rework')).toEqual([]);
  const releases = ['ConcessionRelease', 'ReworkRelease', 'WitnessRelease'].flatMap((name) =>
    namesOf(definition(name)),
  );
  expect(Object.keys(releaseKeys).sort()).toEqual([...new Set(releases)].sort());
});
