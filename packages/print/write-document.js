// Makes the published JSON Schema of a document and its TypeScript types from one YAML file, which is their one source.
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { load } from 'js-yaml';
import { compile } from 'json-schema-to-typescript';

/** What stands beside a $ref would make a type of its own, and a title a name. */
function forTypes(value) {
  if (Array.isArray(value)) return value.map(forTypes);
  if (value === null || typeof value !== 'object') return value;
  if (typeof value.$ref === 'string') return { $ref: value.$ref };
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, forTypes(item)]));
}

async function typesOf(schema, { yaml, name, prefix }) {
  const prefixed = JSON.parse(
    JSON.stringify(forTypes(schema)).replace(/"#\/\$defs\/(\w+)"/g, `"#/$defs/${prefix}$1"`),
  );
  prefixed.$defs = Object.fromEntries(
    Object.entries(prefixed.$defs).map(([one, form]) => [`${prefix}${one}`, form]),
  );
  const types = await compile(prefixed, name, {
    additionalProperties: false,
    bannerComment: `// Generated from ${yaml} by \`npm run generate\`. Do not edit.\n`,
    ignoreMinAndMaxItems: true,
    style: { singleQuote: true, printWidth: 110 },
  });
  return types
    .replace(/^ \*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n/gm, '')
    .replace(
      /^\/\*\*\n \* This interface was referenced by[^\n]*\n \* via the `definition`[^\n]*\n \*\/\n/gm,
      '',
    )
    .replace(/^( +)(?!readonly |export |\*|\/)((?:'[^']+'|[\w]+)\??:\s)/gm, '$1readonly $2')
    .replace(/: (\(.+?\)|\w+)\[\]/g, ': readonly $1[]');
}

/**
 * Writes the schema and the types of a document below a package folder, or only says whether they are up to date where
 * the process was called with --check. `yaml`, `schema` and `types` are paths from there, `name` is the type of the whole
 * and `prefix` stands before the types of its parts.
 */
export async function writeDocument(folder, document) {
  const schema = load(readFileSync(join(folder, document.yaml), 'utf8'));
  const outputs = {
    [document.schema]: `${JSON.stringify(schema, null, 2)}\n`,
    [document.types]: await typesOf(schema, document),
  };
  for (const [name, text] of Object.entries(outputs)) {
    const file = join(folder, name);
    let found = '';
    try {
      found = readFileSync(file, 'utf8');
    } catch {
      // It has never been made.
    }
    if (found === text) continue;
    if (process.argv.includes('--check')) {
      console.error(`${name} is not up to date; run npm run generate`);
      process.exitCode = 1;
      continue;
    }
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
    console.log(`wrote ${name}`);
  }
}
