import { afterAll, describe, expect, test } from 'vitest';
import { Copy } from './copy.ts';
import { type Defect, readDefects } from './defect.ts';

/** Tries one share of the corpus. The shares stand in test files of their own, which run beside each other. */
export function tryShare(share: number, of: number): void {
  const copies = new Map<string, Copy>();
  afterAll(() => {
    for (const copy of copies.values()) copy.remove();
  });
  const judge = (defect: Defect): Promise<readonly string[]> => {
    const copy = copies.get(defect.pack) ?? new Copy(defect.pack);
    copies.set(defect.pack, copy);
    return copy.judge(defect);
  };
  const defects = readDefects().filter((_, index) => index % of === share);

  describe('is told to the author', () => {
    test.each(defects.filter((one) => one.pending === undefined))('$defect', async (defect) => {
      const faults = await judge(defect);
      expect(faults, faults.join('\n')).toEqual([]);
    });
  });

  describe.skipIf(defects.every((one) => one.pending === undefined))('is not told yet, as is said', () => {
    test.each(defects.filter((one) => one.pending !== undefined))('$defect: $pending', async (defect) => {
      expect(await judge(defect), 'it is told now: take `pending` away').not.toEqual([]);
    });
  });
}
