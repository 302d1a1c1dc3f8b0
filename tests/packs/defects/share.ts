import { afterAll, describe, expect, test } from 'vitest';
import { Copy } from './copy.ts';
import { type Defect, needsProof, readDefects } from './defect.ts';

/** Of so many defects that are found without the proof, one is proved all the same: the proof must add nothing to them. */
const ONE_PROVED_OF = 20;

/** Tries one share of the corpus. The shares stand in test files of their own, which run beside each other. */
export function tryShare(share: number, of: number): void {
  const copies = new Map<string, Copy>();
  afterAll(() => {
    for (const copy of copies.values()) copy.remove();
  });
  const judge = (defect: Defect, proves = needsProof(defect)): Promise<readonly string[]> => {
    const copy = copies.get(defect.pack) ?? new Copy(defect.pack);
    copies.set(defect.pack, copy);
    return copy.judge(defect, proves);
  };
  const defects = readDefects().filter((_, index) => index % of === share);
  const live = defects.filter((one) => one.pending === undefined);

  describe('is told to the author', () => {
    test.each(live)('$defect', async (defect) => {
      const faults = await judge(defect);
      expect(faults, faults.join('\n')).toEqual([]);
    });
  });

  describe('is told no other way when the pack is proved too', () => {
    const without = live.filter((one) => !needsProof(one));
    test.each(without.filter((_, index) => index % ONE_PROVED_OF === share))('$defect', async (defect) => {
      const faults = await judge(defect, true);
      expect(faults, faults.join('\n')).toEqual([]);
    });
  });

  describe.skipIf(defects.every((one) => one.pending === undefined))('is not told yet, as is said', () => {
    test.each(defects.filter((one) => one.pending !== undefined))('$defect: $pending', async (defect) => {
      expect(await judge(defect), 'it is told now: take `pending` away').not.toEqual([]);
    });
  });
}
