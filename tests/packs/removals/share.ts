import { join } from 'node:path';
import { readPack } from '@ferrule/source';
import { beforeAll, describe, expect, test } from 'vitest';
import { caughtBy, type Json, removalsOf, type Whole, wholeOf, without } from './removal.ts';

/*
 * Takes one thing after another out of a demonstration pack: a change of a state, an interlock, a reading, a limit, a
 * remedy. Each time a diagnostic, the proof or a trial must show that it is missing.
 */
const specs = join(import.meta.dirname, '../../../specs');
const packs = [
  { folder: 'valve-clearance/1.0.0', variants: ['marram-four'] },
  { folder: 'marram-timing-shims/1.0.0', variants: ['marram-four'] },
  {
    folder: 'marram-unit-pumps/1.0.0',
    // Most trials are of the four-cylinder engine, so it is tried first.
    variants: ['marram-four', 'marram-five', 'marram-three'],
  },
  // The pump of the four is set by shims, that of the five is turned.
  { folder: 'marram-inline-timing/1.0.0', variants: ['marram-four', 'marram-five'] },
  { folder: 'marram-nozzle-bench/1.0.0', variants: ['marram-four'] },
  { folder: 'marram-governor/1.0.0', variants: ['marram-four'] },
  { folder: 'marram-cylinder-balance/1.0.0', variants: ['marram-four'] },
];

const provedAnew =
  'The shutoff is proved anew straight after it. The change only says that until then it does not count as proved.';

/** What nothing shows to be missing, with the reason. A removal that is caught after all must leave this list. */
const survivors: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  'valve-clearance/1.0.0': {},
  'marram-timing-shims/1.0.0': {},
  'marram-unit-pumps/1.0.0': {},
  'marram-inline-timing/1.0.0': {},
  'marram-nozzle-bench/1.0.0': {},
  'marram-governor/1.0.0': {
    '/holds/high-idle-not-set/release/0/rework/2/changes/shutoff': provedAnew,
    '/procedures/go-to-stop/holds/overspeed/release/0/rework/2/changes/shutoff': provedAnew,
    '/procedures/set-governor/steps/1/steps/2/changes/seals':
      'Without it a seal that was gone would count as there. No trial sees that: the seals count as whole at the end either way.',
  },
  'marram-cylinder-balance/1.0.0': {},
};

/**
 * Tries one share of what can be taken out of each pack. The shares stand in test files of their own, which run beside each
 * other.
 */
export function tryRemovals(share: number, of: number): void {
  describe.each(packs)('$folder', ({ folder, variants }) => {
    const expected = survivors[folder] ?? {};
    let document: Json = '';
    let whole: Whole;
    beforeAll(async () => {
      ({ document } = await readPack(join(specs, folder)));
      whole = wholeOf(document, variants);
    });

    if (share === 0) {
      test('nothing is caught while nothing is taken out', () => {
        expect([...whole.said].filter((one) => !one.startsWith('unused-name '))).toEqual([]);
        expect(caughtBy(document, 'sha256:0', { ...whole, plans: new Set() })).toBeUndefined();
      });

      test('what may be missing unseen is in the pack', () => {
        const pointers = removalsOf(document).map((one) => one.pointer);
        expect(pointers.length).toBeGreaterThan(10);
        expect(Object.keys(expected).filter((one) => !pointers.includes(one))).toEqual([]);
      });
    }

    test('nothing can be left out unseen', { timeout: 1_200_000 }, () => {
      const removals = removalsOf(document).filter((_, index) => index % of === share);
      expect(removals.length).toBeGreaterThan(0);
      const unseen: string[] = [];
      for (const { pointer } of removals) {
        const caught = caughtBy(without(document, pointer), 'sha256:0', whole);
        const isExpected = Object.hasOwn(expected, pointer);
        if ((caught === undefined) !== isExpected) unseen.push(`${pointer}: ${caught ?? 'not caught'}`);
      }
      expect(unseen).toEqual([]);
    });
  });
}
