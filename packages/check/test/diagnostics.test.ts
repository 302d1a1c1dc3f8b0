import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { type Diagnostic, diagnosticCodes } from '@ferrule/engine';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { describe, expect, test } from 'vitest';
import { diagnosticKinds } from '../src/diagnostics/index.ts';
import { checkPack } from '../src/index.ts';
import { folderOf } from './folder.ts';
import { laidOver, withoutValue } from './laid-over.ts';

/** What a case file holds: mistakes with what must be said of them, and near misses that are right. */
interface Case {
  readonly bad?: string;
  readonly good?: string;
  /** Laid over the small pack, see `laidOver`. */
  readonly over?: unknown;
  /** Pointers to what is then taken out. */
  readonly without?: readonly string[];
  /** Every place where the code must be reported beside what is said of the small pack, and no other: `key /pointer`, `value /pointer` or `near /pointer`. */
  readonly at?: string | readonly string[];
  /** A text that message and remedy must hold. */
  readonly says?: string;
  /** Pointers of the other places that must be named. */
  readonly other?: readonly string[];
  /** Codes of errors that come along. */
  readonly also?: readonly string[];
}

/** Errors that short cases bring along: what the small pack has and a case has no use for. */
const besides: readonly string[] = ['unused-name', 'never-judged'];

const folder = join(import.meta.dirname, 'diagnostics');
const yaml = (path: string): unknown => load(readFileSync(path, 'utf8'), { schema: FAILSAFE_SCHEMA });
const base = yaml(join(import.meta.dirname, 'diagnostics-pack.yaml'));
const { diagnostics: ofBase } = await checkPack(folderOf({ 'pack.yaml': JSON.stringify(base) }));
const isOfBase = ({ code, pointer }: Diagnostic): boolean =>
  ofBase.some((one) => one.code === code && one.pointer === pointer);
const codes = diagnosticCodes.filter((code) => readdirSync(folder).includes(`${code}.yaml`));
const casesOf = (code: string): readonly Case[] => yaml(join(folder, `${code}.yaml`)) as readonly Case[];

test('every kind that looks for its fault itself has cases', () => {
  const kinds = Object.values(diagnosticKinds).filter((one) => one.examine !== undefined);
  expect(kinds.map((one) => one.code).filter((code) => !codes.includes(code))).toEqual([]);
  expect(readdirSync(folder).sort()).toEqual(codes.map((code) => `${code}.yaml`).sort());
});

describe.each(codes)('%s', (code) => {
  const cases = casesOf(code);
  test('has bad and good cases, and each says one thing', () => {
    expect(cases.some((one) => one.bad !== undefined)).toBe(true);
    expect(cases.some((one) => one.good !== undefined)).toBe(true);
    const known = ['bad', 'good', 'over', 'without', 'at', 'says', 'other', 'also'];
    for (const one of cases) {
      expect(Object.keys(one).filter((key) => !known.includes(key))).toEqual([]);
      expect((one.bad === undefined) !== (one.good === undefined), JSON.stringify(one)).toBe(true);
      expect(one.at === undefined, one.bad ?? one.good).toBe(one.good !== undefined);
    }
  });

  test.each(cases.map((one) => [one.bad ?? `${one.good} (good)`, one] as const))('%s', async (_, one) => {
    const document = (one.without ?? []).reduce(withoutValue, laidOver(base, one.over ?? {}));
    const { diagnostics, positions } = await checkPack(
      folderOf({ 'pack.yaml': JSON.stringify(document, null, 1) }),
    );
    const errors = diagnostics.filter((found) => found.severity === 'error' && found.code !== code);
    const allowed = [...besides, ...(one.also ?? [])];
    expect(errors.filter((found) => !allowed.includes(found.code))).toEqual([]);

    const found = diagnostics.filter((each) => each.code === code && !isOfBase(each));
    const expected = [one.at ?? []].flat().map((place) => {
      const [, mark = '', pointer = ''] = /^(key|value|near) (\/.*)$/.exec(place) ?? [];
      const span =
        mark === 'near' ? positions.nearest(pointer) : positions[mark === 'key' ? 'key' : 'value'](pointer);
      expect(span, `${place} stands nowhere`).toBeDefined();
      return { pointer, span };
    });
    const sorted = <T extends { readonly pointer: string }>(list: readonly T[]): readonly T[] =>
      [...list].sort((a, b) => (a.pointer < b.pointer ? -1 : 1));
    expect(sorted(found.map(({ pointer, span }) => ({ pointer, span })))).toEqual(sorted(expected));
    for (const { message, remedy, other } of found) {
      if (one.says !== undefined) expect(`${message} ${remedy}`).toContain(one.says);
      expect(other?.map((place) => place.pointer) ?? []).toEqual(
        expect.arrayContaining([...(one.other ?? [])]),
      );
    }
  });
});
