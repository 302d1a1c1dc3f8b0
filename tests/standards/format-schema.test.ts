import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { pointerTo } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import Ajv, { type ErrorObject } from 'ajv/dist/2020.js';
import { expect, test } from 'vitest';
import { schemaErrors } from '../../packages/engine/src/model/schema-errors.ts';

// Our reading of JSON Schema 2020-12 against ajv, the published schema against the one that the engine carries.
const root = fileURLToPath(new URL('../..', import.meta.url));
const published = JSON.parse(readFileSync(`${root}/packages/engine/schema/pack.schema.json`, 'utf8'));
const ajv = new Ajv.default({
  allErrors: true,
  strict: true,
  strictRequired: false,
  strictTypes: false,
  allowMatchingProperties: true,
});
const byAjv = ajv.compile(published);

type Place = { readonly holder: Record<string, unknown> | unknown[]; readonly key: string };

/** Every place of a document, in the order of writing. */
function placesIn(value: unknown): readonly Place[] {
  if (typeof value !== 'object' || value === null) return [];
  const holder = value as Place['holder'];
  return Object.keys(holder).flatMap((key) => [{ holder, key }, ...placesIn(Reflect.get(holder, key))]);
}

function add(holder: Place['holder'], key: string, value: unknown): void {
  if (Array.isArray(holder)) holder.push(value);
  else holder[key] = value;
}

const mistakes: readonly ((place: Place) => void)[] = [
  ({ holder, key }) => {
    if (Array.isArray(holder)) holder.splice(Number(key), 1);
    else Reflect.deleteProperty(holder, key);
  },
  ({ holder, key }) => void Reflect.set(holder, key, ''),
  ({ holder, key }) => void Reflect.set(holder, key, 'x'.repeat(2_001)),
  ({ holder, key }) => void Reflect.set(holder, key, '𝒳'.repeat(64)),
  ({ holder, key }) => void Reflect.set(holder, key, 7),
  ({ holder, key }) => void Reflect.set(holder, key, null),
  ({ holder, key }) => void Reflect.set(holder, key, true),
  ({ holder, key }) => void Reflect.set(holder, key, 'No Such Word'),
  ({ holder, key }) => void Reflect.set(holder, key, []),
  ({ holder, key }) => void Reflect.set(holder, key, {}),
  ({ holder, key }) => void Reflect.set(holder, key, ['a', 'a', {}]),
  ({ holder, key }) => void Reflect.set(holder, key, [Reflect.get(holder, key)]),
  ({ holder, key }) => void Reflect.set(holder, key, { [key]: Reflect.get(holder, key) }),
  ({ holder, key }) => add(holder, `${key}-`, Reflect.get(holder, key)),
  ({ holder, key }) => add(holder, `x-${key}`, 7),
  ({ holder, key }) => add(holder, 'Bad ~/ name', Reflect.get(holder, key)),
  ({ holder }) => add(holder, 'do', 'Do it.'),
  ({ holder }) => add(holder, 'constructor', 'x'),
  ({ holder }) => add(holder, 'at-most', '1 mm'),
];

/** What ajv reports: the place and the keyword, and the key where the keyword is about keys. */
function toldByAjv(errors: readonly ErrorObject[], document: unknown): readonly string[] {
  const valueAt = (pointer: string): unknown =>
    pointer
      .split('/')
      .slice(1)
      .map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'))
      .reduce((value: unknown, key) => Reflect.get(Object(value), key), document);
  return (
    errors
      .filter(({ keyword }) => keyword !== 'if')
      // Inside propertyNames ajv reports what is wrong with the name as if it were the map: we report the name only.
      .filter(
        ({ keyword, instancePath }) =>
          !['pattern', 'minLength', 'maxLength'].includes(keyword) ||
          typeof valueAt(instancePath) === 'string',
      )
      .map(({ keyword, instancePath, params }) =>
        said(
          instancePath,
          keyword,
          params['missingProperty'] ?? params['additionalProperty'] ?? params['propertyName'],
        ),
      )
      .sort()
  );
}

const said = (pointer: string, keyword: string, key: unknown): string =>
  `${pointer} ${keyword}${key === undefined ? '' : ` ${String(key)}`}`;

const told = (document: unknown): readonly string[] =>
  schemaErrors(document)
    .map(({ pointer, keyword, wanted }) =>
      said(
        pointer,
        keyword,
        ['required', 'additionalProperties', 'propertyNames'].includes(keyword) ? wanted : undefined,
      ),
    )
    .sort();

test.each(['marram-unit-pumps', 'valve-clearance'])(
  'every mistake in %s is found as ajv finds it (JSON Schema 2020-12)',
  async (pack) => {
    const { document } = await readPack(`${root}/specs/${pack}/1.0.0`);
    expect([byAjv(document), validate(document).diagnostics]).toEqual([true, []]);
    const text = JSON.stringify(document);
    const count = placesIn(document).length;
    let missed = 0;
    // A step that has no common divisor with the number of mistakes meets every kind of place with every mistake.
    for (let index = 0, turn = 0; index < count; index += Math.ceil(count / 130), turn++) {
      const copy: unknown = JSON.parse(text);
      const place = placesIn(copy)[index];
      const mistake = mistakes[turn % mistakes.length];
      if (place === undefined || mistake === undefined) continue;
      mistake(place);
      byAjv(copy);
      const expected = toldByAjv(byAjv.errors ?? [], copy);
      expect(told(copy), `mistake ${turn % mistakes.length} at ${place.key}`).toEqual(expected);
      if (expected.length > 0) missed++;
    }
    expect(missed).toBeGreaterThan(60);
  },
);

test('documents that are no map at all', () => {
  for (const document of [null, 1, 'x', [], true, {}]) {
    byAjv(document);
    expect(told(document)).toEqual(toldByAjv(byAjv.errors ?? [], document));
  }
  expect(pointerTo('', 'a/b~')).toBe('/a~1b~0');
});
