// Makes everything that follows from schema/pack.schema.yaml: the published JSON Schema, the TypeScript types of the
// written format, the reference page, and the validator, which ajv compiles here (it would generate code at run time,
// which a strict browser policy forbids). `node generate.js --check` only says whether they are up to date.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Ajv from 'ajv/dist/2020.js';
import standaloneCode from 'ajv/dist/standalone/index.js';
import { transform } from 'esbuild';
import { load } from 'js-yaml';
import { compile } from 'json-schema-to-typescript';
import { formatPage } from './generate-docs.js';

const here = dirname(fileURLToPath(import.meta.url));
const schemaText = readFileSync(join(here, 'schema/pack.schema.yaml'), 'utf8');
const source = load(schemaText);

/** Copies a schema, and says what becomes of `x-by-key` and of the keys that only this script reads. */
function rewrite(value, byKey, dropped) {
  if (Array.isArray(value)) return value.map((item) => rewrite(item, byKey, dropped));
  if (value === null || typeof value !== 'object') return value;
  const out = {};
  for (const [key, item] of Object.entries(value)) {
    if (dropped.includes(key)) continue;
    if (key === 'x-by-key') Object.assign(out, byKey(item));
    else out[key] = rewrite(item, byKey, dropped);
  }
  return out;
}

/** The first key that is there chooses the definition; a map without any of them gets one message, not many. */
const chain = (table) => {
  const keys = Object.keys(table);
  let rest = { type: 'object', anyOf: keys.map((key) => ({ required: [key] })) };
  for (const key of keys.reverse()) {
    rest = { if: { type: 'object', required: [key] }, then: { $ref: `#/$defs/${table[key]}` }, else: rest };
  }
  return rest;
};
const union = (table) => ({
  anyOf: [...new Set(Object.values(table))].map((name) => ({ $ref: `#/$defs/${name}` })),
});

const published = rewrite(source, chain, ['x-example']);
/** Without prose: what stands beside a $ref, and titles and descriptions of definitions (not properties so named). */
function bare(schema) {
  if (Array.isArray(schema)) return schema.map(bare);
  if (schema === null || typeof schema !== 'object') return schema;
  if (schema.$ref !== undefined) return { $ref: schema.$ref };
  const out = {};
  for (const [key, item] of Object.entries(schema)) {
    if ((key === 'title' || key === 'description') && typeof item === 'string') continue;
    out[key] = ['properties', 'patternProperties', '$defs'].includes(key)
      ? Object.fromEntries(Object.entries(item).map(([name, each]) => [name, bare(each)]))
      : bare(item);
  }
  return out;
}
const besideRef = (schema) => {
  if (Array.isArray(schema)) return schema.map(besideRef);
  if (schema === null || typeof schema !== 'object') return schema;
  if (typeof schema.$ref === 'string') return { $ref: schema.$ref };
  return Object.fromEntries(Object.entries(schema).map(([key, item]) => [key, besideRef(item)]));
};
const forTypes = besideRef(
  rewrite(source, union, ['x-example', 'oneOf', 'patternProperties', 'propertyNames']),
);
const types = await compile(forTypes, 'Pack', {
  additionalProperties: false,
  bannerComment: '// Generated from schema/pack.schema.yaml by `npm run generate`. Do not edit.\n',
  ignoreMinAndMaxItems: true,
  style: { singleQuote: true, printWidth: 110 },
  unreachableDefinitions: true,
});
const readonly = types
  .replace(/^ \*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n/gm, '')
  .replace(
    /^\/\*\*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n \*\/\n/gm,
    '',
  )
  .replace(/^( +)(?!readonly |export |\*|\/)((?:'[^']+'|[\w]+)\??: )/gm, '$1readonly $2')
  .replace(/^( +)(\[k: string\]: )/gm, '$1readonly $2')
  .replace(/: (\(.+?\)|\w+)\[\]/g, ': readonly $1[]');

const checked = bare(published);
const ajv = new Ajv({
  allErrors: true,
  strict: true,
  strictRequired: false,
  strictTypes: false,
  allowMatchingProperties: true,
  messages: false,
  inlineRefs: false,
  code: { source: true, esm: true, lines: false, optimize: 2 },
});
// One validator for both kinds of document: what says that it is an overlay is held against the form of one.
const { $schema, $id, $defs: definitions, ...ofPack } = checked;
const either = {
  ...{ $schema, $id, $defs: definitions },
  if: { type: 'object', required: ['overlay'] },
  then: { $ref: '#/$defs/Overlay' },
  else: ofPack,
};
const code = standaloneCode(ajv, ajv.compile(either));
// The only helpers that ajv's code asks for at run time: the length of a text in code points, and deep equality.
const helpers = {
  'ajv/dist/runtime/ucs2length': '(text) => { let n = 0; for (const _ of text) n++; return n; }',
  'ajv/dist/runtime/equal': '(a, b) => JSON.stringify(a) === JSON.stringify(b)',
};
// Faults are gathered in one list; joining two lists anew for each would take the square of their number in time.
const gathered = code.replaceAll(/\bvErrors\.concat\((\w+\.errors)\)/g, 'append(vErrors, $1)');
if (gathered === code) throw new Error('the validator gathers its faults in another way');
const append = 'const append = (all, more) => { for (const one of more) all.push(one); return all; };';
const standalone = `${append}${gathered}`.replace(/require\("([^"]+)"\)\.default/g, (_, path) => {
  if (helpers[path] === undefined) throw new Error(`the validator asks for ${path}`);
  return `(${helpers[path]})`;
});
const validator = (await transform(standalone, { minify: true, format: 'esm', target: 'es2022' })).code;

/** The keys that a map may have, for each kind of map: for suggesting the one that was meant. */
const knownKeys = [];
/** The forms of each map that has exactly one of several, as the keys that make each. */
const knownForms = [];
const collect = (schema) => {
  if (schema === null || typeof schema !== 'object') return;
  if (schema.properties !== undefined && schema.additionalProperties === false) {
    knownKeys.push(Object.keys(schema.properties));
  }
  if (schema.oneOf !== undefined) knownForms.push(schema.oneOf.map((form) => form.required));
  for (const item of Object.values(schema)) collect(item);
};
collect(checked);

/**
 * Schemas for editors, one for each kind of file. An editor reads `attempts: 5` as a number where Ferrule reads a text, so
 * every scalar is allowed where a text stands; patterns and lists of words still complete and warn.
 */
function forEditors(value) {
  if (Array.isArray(value)) return value.map(forEditors);
  if (value === null || typeof value !== 'object') return value;
  const out = Object.fromEntries(Object.entries(value).map(([key, item]) => [key, forEditors(item)]));
  if (value.type === 'string') out.type = ['string', 'number', 'boolean'];
  if (value.const === '1') {
    delete out.const;
    out.enum = ['1', 1];
  }
  return out;
}
const { $defs, properties, ...pack } = forEditors(published);
const editorSchema = (kind, title, more) =>
  `${JSON.stringify({ $schema: pack.$schema, $id: `https://ferrule.invalid/schema/${kind}-1.json`, title, ...more, $defs }, null, 2)}\n`;
const { procedures: _procedures, trials: _trials, overlaid: _overlaid, ...ofPacks } = properties;
const { trials: _ofOverlay, ...ofOverlays } = $defs.Overlay.properties;
// The manifest of a library is such a file too.
const library = { $ref: '#/$defs/Id', description: 'Name of the library, in its library.yaml.' };
// A pack adds to the variants of a library, which has said their titles.
const { required: _required, ...Variant } = $defs.Variant;
const sections = { ...ofPacks, library, variants: { ...ofPacks.variants, additionalProperties: Variant } };
const editorSchemas = {
  'schema/section-file.schema.json': editorSchema('section-file', 'A file of sections, such as pack.yaml', {
    type: 'object',
    properties: sections,
    patternProperties: { '^x-': {} },
    additionalProperties: false,
  }),
  'schema/overlay-file.schema.json': editorSchema(
    'overlay-file',
    'A file of an overlay, such as overlay.yaml',
    {
      type: 'object',
      properties: ofOverlays,
      patternProperties: { '^x-': {} },
      additionalProperties: false,
    },
  ),
  'schema/procedure-file.schema.json': editorSchema('procedure-file', 'A file in procedures/', {
    required: ['procedure'],
    $ref: '#/$defs/Procedure',
  }),
  'schema/trial-file.schema.json': editorSchema('trial-file', 'A file in trials/', {
    if: { required: ['trials'] },
    then: {
      type: 'object',
      properties: {
        trials: { type: 'array', items: { required: ['trial'], $ref: '#/$defs/Trial' } },
      },
      additionalProperties: false,
    },
    else: { required: ['trial'], $ref: '#/$defs/Trial' },
  }),
};

const outputs = {
  ...editorSchemas,
  '../../docs/format.md': formatPage(schemaText),
  'schema/pack.schema.json': `${JSON.stringify(published, null, 2)}\n`,
  'src/model/generated/document.ts': readonly,
  'src/model/generated/known-keys.ts': `// Generated from schema/pack.schema.yaml by \`npm run generate\`. Do not edit.
export const knownKeys: readonly (readonly string[])[] = ${JSON.stringify(knownKeys)};
export const knownForms: readonly (readonly (readonly string[])[])[] = ${JSON.stringify(knownForms)};
`,
  'src/model/generated/validate-pack.js': `// Generated from schema/pack.schema.yaml by \`npm run generate\`. Do not edit.\n${validator}`,
  'src/model/generated/validate-pack.d.ts': `// Generated by \`npm run generate\`. Do not edit.
export interface AjvError {
  readonly instancePath: string;
  readonly schemaPath: string;
  readonly keyword: string;
  readonly params: Readonly<Record<string, unknown>>;
}
declare const validate: ((document: unknown) => boolean) & { errors?: readonly AjvError[] | null };
export default validate;
`,
};
let stale = 0;
for (const [path, text] of Object.entries(outputs)) {
  const file = join(here, path);
  mkdirSync(dirname(file), { recursive: true });
  let before = '';
  try {
    before = readFileSync(file, 'utf8');
  } catch {}
  if (before === text) continue;
  stale++;
  if (process.argv.includes('--check'))
    console.error(`${path} is not what schema/pack.schema.yaml says: run npm run generate`);
  else {
    writeFileSync(file, text);
    console.log(`wrote ${path}`);
  }
}
if (process.argv.includes('--check') && stale > 0) process.exitCode = 1;
