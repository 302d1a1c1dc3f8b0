// Makes the published JSON Schema of a comparison and its TypeScript types from schema/comparison.schema.yaml.
// `node generate.js --check` only says whether they are up to date.
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeDocument } from '../print/write-document.js';

await writeDocument(dirname(fileURLToPath(import.meta.url)), {
  yaml: 'schema/comparison.schema.yaml',
  schema: 'schema/comparison.schema.json',
  types: 'src/document/generated/comparison-document.ts',
  name: 'ComparisonDocument',
  prefix: 'Compared',
});
