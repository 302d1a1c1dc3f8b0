import { Validator } from '@seriousme/openapi-schema-validator';
import { expect, test } from 'vitest';
import { Rig } from './rig.ts';

test('the document is a valid OpenAPI 3.1 document', async () => {
  const document = await new Rig().document();
  const validator = new Validator();
  const result = await validator.validate(structuredClone(document));
  expect(result).toMatchObject({ valid: true });
  expect(validator.version).toBe('3.1');
  expect(document['openapi']).toBe('3.1.0');
});
