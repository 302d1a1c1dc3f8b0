// Makes the published JSON Schema of the job card and its TypeScript types from schema/card.schema.yaml.
// `node generate.js --check` only says whether they are up to date.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { load } from 'js-yaml';
import { compile } from 'json-schema-to-typescript';

const here = dirname(fileURLToPath(import.meta.url));
const schema = load(readFileSync(join(here, 'schema/card.schema.yaml'), 'utf8'));

/** What stands beside a $ref would make a type of its own, and a title a name. */
function forTypes(value) {
  if (Array.isArray(value)) return value.map(forTypes);
  if (value === null || typeof value !== 'object') return value;
  if (typeof value.$ref === 'string') return { $ref: value.$ref };
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, forTypes(item)]));
}

const prefixed = JSON.parse(
  JSON.stringify(forTypes(schema)).replace(/"#\/\$defs\/(\w+)"/g, '"#/$defs/Card$1"'),
);
prefixed.$defs = Object.fromEntries(
  Object.entries(prefixed.$defs).map(([name, one]) => [`Card${name}`, one]),
);
const types = await compile(prefixed, 'CardDocument', {
  additionalProperties: false,
  bannerComment: '// Generated from schema/card.schema.yaml by `npm run generate`. Do not edit.\n',
  ignoreMinAndMaxItems: true,
  style: { singleQuote: true, printWidth: 110 },
});
const readonly = types
  .replace(/^ \*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n/gm, '')
  .replace(
    /^\/\*\*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n \*\/\n/gm,
    '',
  )
  .replace(/^( +)(?!readonly |export |\*|\/)((?:'[^']+'|[\w]+)\??: )/gm, '$1readonly $2')
  .replace(/: (\(.+?\)|\w+)\[\]/g, ': readonly $1[]');

const outputs = {
  'schema/card.schema.json': `${JSON.stringify(schema, null, 2)}\n`,
  'src/card/generated/card-document.ts': readonly,
};

const isCheck = process.argv.includes('--check');
for (const [name, text] of Object.entries(outputs)) {
  const file = join(here, name);
  let found = '';
  try {
    found = readFileSync(file, 'utf8');
  } catch {
    // It has never been made.
  }
  if (found === text) continue;
  if (isCheck) {
    console.error(`${name} is not up to date; run npm run generate`);
    process.exitCode = 1;
    continue;
  }
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
  console.log(`wrote ${name}`);
}
