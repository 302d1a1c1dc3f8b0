// Makes the published JSON Schemas of the documents of this package and their TypeScript types from schema/*.schema.yaml.
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

await writeDocument(dirname(fileURLToPath(import.meta.url)), {
  yaml: 'schema/rejudged.schema.yaml',
  schema: 'schema/rejudged.schema.json',
  types: 'src/rejudge/generated/rejudged-document.ts',
  name: 'RejudgedDocument',
  prefix: 'Rejudged',
});

await writeDocument(dirname(fileURLToPath(import.meta.url)), {
  yaml: 'schema/readings.schema.yaml',
  schema: 'schema/readings.schema.json',
  types: 'src/readings/generated/readings-document.ts',
  name: 'ReadingsDocument',
  prefix: 'Readings',
});
