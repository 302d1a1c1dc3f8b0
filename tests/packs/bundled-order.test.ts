import { join } from 'node:path';
import { resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, readBundle, readPack } from '@ferrule/source';
import { expect, test } from 'vitest';
import { packs } from './copy-pack.ts';

const specs = join(import.meta.dirname, '../../specs');

/** The answers of every question of every procedure, in the order in which people are asked, by where it is asked. */
function askedOf(document: unknown): Readonly<Record<string, readonly string[]>> {
  const { pack } = validate(document);
  if (pack === undefined) throw new Error('the pack does not fit the format');
  return Object.fromEntries(
    Object.keys(pack.procedures ?? {}).flatMap((procedure) =>
      Object.keys(pack.variants ?? {}).flatMap((variant) =>
        (resolve(pack, { procedure, variant }).plan?.entries ?? []).flatMap((entry) =>
          entry.entry === 'observation'
            ? [[`${procedure} ${variant} ${entry.name}`, entry.answers.map(({ id }) => id)]]
            : [],
        ),
      ),
    ),
  );
}

// The terminal reads a pack from its folder, the page has it from its bundle.
test.each(packs)('%s asks by its bundle in the order of its folder', async (pack) => {
  const { document } = await readPack(join(specs, pack));
  expect(askedOf(readBundle(bundleOf(document).text).document)).toEqual(askedOf(document));
});

test('the page of symptoms asks in the order of its author', async () => {
  const { document } = await readPack(join(specs, 'marram-symptoms/1.0.0'));
  const asked = askedOf(readBundle(bundleOf(document).text).document);
  expect(Object.values(asked)).toContainEqual(['rough', 'black', 'blue', 'white', 'hard-start', 'no-power']);
});
