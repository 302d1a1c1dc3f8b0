// Makes the published JSON Schema of the job card and its TypeScript types from schema/card.schema.yaml.
// `node generate.js --check` only says whether they are up to date.
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { writeDocument } from './write-document.js';

await writeDocument(dirname(fileURLToPath(import.meta.url)), {
  yaml: 'schema/card.schema.yaml',
  schema: 'schema/card.schema.json',
  types: 'src/card/generated/card-document.ts',
  name: 'CardDocument',
  prefix: 'Card',
});
