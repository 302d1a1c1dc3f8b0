import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Change, comparePacks } from '@ferrule/compare';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { CORE_SCHEMA, load } from 'js-yaml';
import { beforeAll, describe, expect, test } from 'vitest';
import { type Edit, edited, type Json } from './edit.ts';

interface Case {
  readonly case: string;
  readonly edits: readonly Edit[];
  readonly finds: readonly string[];
}

const cases = load(readFileSync(join(import.meta.dirname, 'revisions.yaml'), 'utf8'), {
  schema: CORE_SCHEMA,
}) as readonly Case[];

const line = ({ change, weight, effect, kind, name, key, variants }: Change): string =>
  [
    ...[change, weight, effect ?? '-', kind, name, key ?? '-'],
    ...(variants === undefined ? [] : [`(${variants.join(', ')})`]),
  ].join(' ');

let base: Json;
let before: Pack;

function packOf(document: Json): Pack {
  const { pack, diagnostics } = validate(document);
  if (pack === undefined) throw new Error(diagnostics.map(({ message }) => message).join('\n'));
  return pack;
}

beforeAll(async () => {
  const { document } = await readPack(join(import.meta.dirname, '../../specs/marram-unit-pumps/1.1.0'), {
    withoutTrials: true,
  });
  base = structuredClone(document) as Json;
  before = packOf(base);
});

test('there are at least 60', () => {
  expect(cases.length).toBeGreaterThanOrEqual(60);
  expect(new Set(cases.map((one) => one.case)).size).toBe(cases.length);
});

describe.each(cases)('$case', ({ edits, finds }) => {
  test('is found, and nothing else', () => {
    const changes = comparePacks(before, packOf(edited(base, edits)));
    expect(changes.map(line).sort()).toEqual([...finds].sort());
  });
});
