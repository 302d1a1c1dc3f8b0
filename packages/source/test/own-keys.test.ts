import { join } from 'node:path';
import { resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readBundle, readPack } from '@ferrule/source';
import { expect, it } from 'vitest';

const folder = join(import.meta.dirname, '../../../specs/valve-clearance/1.0.0');
const own = { 'x-shop': { price: '12', nested: ['step', { judge: 'nothing' }] } };

it("carries keys of one's own through the bundle, and interprets none", async () => {
  const { document } = await readPack(folder);
  const plain = validate(readBundle(bundleOf(document).text).document).pack;
  // Into the pack, and into every map that declares something.
  const marked: unknown = JSON.parse(JSON.stringify(document), (_, value: unknown) =>
    typeof value === 'object' &&
    value !== null &&
    !('at' in value) &&
    ['title', 'measurand', 'is'].some((one) => one in value)
      ? { ...value, ...own }
      : value,
  );
  const { digest, text } = bundleOf(Object(marked));
  expect(text.split('"x-shop"').length - 1).toBeGreaterThan(10);
  expect(digest).not.toBe(bundleOf(document).digest);
  const again = validate(readBundle(text).document);
  expect(again.diagnostics ?? []).toEqual([]);
  expect(again.pack).toEqual(marked);
  const request = { procedure: 'set-clearances', variant: 'marram-four' };
  if (plain === undefined || again.pack === undefined) throw new Error('the pack does not fit the format');
  const { plan } = resolve(plain, request);
  expect(resolve(again.pack, request).plan).toEqual(plan);
  expect(plan).toBeDefined();
});

it('refuses a key that is neither known nor marked as own', async () => {
  const { document } = await readPack(folder);
  expect(validate({ ...Object(document), shop: '1' }).diagnostics?.map(({ code }) => code)).toContain(
    'unknown-key',
  );
});
