import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { compareRevisions, type Revision } from '@ferrule/compare';
import { compareBehaviour } from '@ferrule/compare/behaviour';
import { validate } from '@ferrule/engine/validate';
import { comparisonHtml, comparisonMarkdown } from '@ferrule/print';
import { bundleOf, readPack } from '@ferrule/source';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { CORE_SCHEMA, load } from 'js-yaml';
import { expect, test } from 'vitest';
import { type Edit, edited, type Json } from './edit.ts';

const root = join(import.meta.dirname, '../..');
const schema: object = JSON.parse(
  readFileSync(join(root, 'packages/compare/schema/comparison.schema.json'), 'utf8'),
);
const isComparison = new Ajv2020({ strict: true, allErrors: true }).compile(schema);

async function read(folder: string): Promise<Revision> {
  const { document, positions } = await readPack(join(root, 'specs', folder));
  return { ...revisionOf(document), name: folder, positions };
}

function revisionOf(document: unknown): Revision {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(diagnostics.map(({ message }) => message).join('\n'));
  return { name: 'a bundle', pack, digest: bundleOf(document).digest, release: 'unsigned' };
}

const valid = (document: unknown): void => {
  isComparison(document);
  expect(isComparison.errors ?? []).toEqual([]);
};

test('unit pumps 1.1.0: a document of its schema, with places in both', async () => {
  const before = await read('marram-unit-pumps/1.0.0');
  const after = await read('marram-unit-pumps/1.1.0');
  const document = compareRevisions(before, after);
  valid(document);
  expect(document.bump).toMatchObject({ called: 'minor', needed: 'minor', fits: true });
  const drift = document.changes.find(({ change }) => change === 'tightened');
  expect(drift?.before).toMatchObject({
    says: '0 mm ± 0.016 mm',
    place: { file: 'procedures/install-and-synchronise.yaml', line: 96, column: 16 },
  });
  // To be drawn: 0 mm ± 0.016 mm and 0 mm ± 0.012 mm, in the base unit of lengths, mm.
  const variants = ['marram-three', 'marram-four', 'marram-five'];
  expect(drift?.limits).toEqual([
    {
      variants,
      before: { low: { at: -0.016, says: '-0.016 mm' }, high: { at: 0.016, says: '0.016 mm' } },
      after: { low: { at: -0.012, says: '-0.012 mm' }, high: { at: 0.012, says: '0.012 mm' } },
    },
  ]);
  // 1.3 bar and 130 kPa, in bar: one and the same, each in its own unit, with no end upwards.
  expect(document.changes.find(({ change }) => change === 'restated')?.limits).toEqual([
    {
      variants,
      before: { low: { at: 1.3, says: '1.3 bar' } },
      after: { low: { at: 1.3, says: '130 kPa' } },
    },
  ]);
  // Every place is that of the value, or of the thing, which the change speaks of.
  const lines = (side: Revision, file: string) =>
    readFileSync(join(root, 'specs', side.name, file), 'utf8').split('\n');
  for (const [side, end] of [
    [before, 'before'],
    [after, 'after'],
  ] as const)
    for (const change of document.changes) {
      const place = change[end]?.place;
      if (place === undefined) continue;
      const line = lines(side, place.file)[place.line - 1] ?? '';
      expect(line.slice(place.column - 1), change.says).not.toBe('');
    }
});

test('with its behaviour it is a document of the schema, too', { timeout: 60_000 }, async () => {
  const before = await read('marram-unit-pumps/1.1.0');
  const after = await read('marram-unit-pumps/1.0.0');
  const behaviour = compareBehaviour(before.pack, after.pack);
  const document = { ...compareRevisions(before, after), behaviour };
  valid(document);
  expect(comparisonMarkdown(document)).toContain('## Trials of the older revision that come out otherwise');
  expect(comparisonHtml(document)).toContain('<h2>What jobs may come to now</h2>');
  expect(behaviour.permits.map(({ found }) => found)).toContain('way');
  expect(behaviour.trials.others.map(({ now }) => now)).toContain('cannot-run');
});

test('a range whose limits are facts of the engines is drawn for each engine', async () => {
  const { document: base } = await readPack(join(root, 'specs/marram-unit-pumps/1.1.0'), {
    withoutTrials: true,
  });
  const speeds = { 'marram-four': '2300 r/min', 'marram-five': '2900 r/min' };
  const newer = edited(
    structuredClone(base) as Json,
    Object.entries(speeds).map(([name, to]) => ({ set: `/variants/${name}/facts/top-speed`, to })),
  );
  const { changes } = compareRevisions(revisionOf(base), revisionOf(newer));
  for (const [name, says] of Object.entries(speeds)) {
    const of = changes.find(
      ({ kind, variants }) => kind === 'tolerance' && variants?.includes(name) === true,
    );
    const at = Number.parseInt(says, 10);
    expect(of?.limits).toMatchObject([{ variants: [name], after: { high: { at, says } } }]);
    expect(of?.limits?.[0]?.after).not.toHaveProperty('low');
  }
});

test('every revision of the table makes a document of the schema, with a sentence for each change', async () => {
  const cases = load(readFileSync(join(import.meta.dirname, 'revisions.yaml'), 'utf8'), {
    schema: CORE_SCHEMA,
  }) as readonly { readonly case: string; readonly edits: readonly Edit[] }[];
  const { document: base } = await readPack(join(root, 'specs/marram-unit-pumps/1.1.0'), {
    withoutTrials: true,
  });
  const before = revisionOf(base);
  for (const { edits } of cases) {
    const document = compareRevisions(before, revisionOf(edited(structuredClone(base) as Json, edits)));
    valid(document);
    for (const { says } of document.changes) {
      expect(says).toMatch(/^[A-Z].*[.!?…]”?$/s);
      expect(says).not.toMatch(/undefined|\[object|: : /);
    }
  }
});
