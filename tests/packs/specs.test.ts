import { join } from 'node:path';
import { checkPack, runTrials } from '@ferrule/check';
import { describe, expect, test } from 'vitest';
import { libraries, packs } from './copy-pack.ts';

const specs = join(import.meta.dirname, '../../specs');

describe.each(libraries)('%s', (library) => {
  test('is clean', async () => {
    const checked = await checkPack(join(specs, library));
    expect(checked.diagnostics).toEqual([]);
    expect(`${checked.library?.name}/${checked.library?.revision}`).toBe(library);
  });
});

describe.each(packs)('%s', (pack) => {
  const checked = checkPack(join(specs, pack));

  test('is clean', async () => {
    const { diagnostics } = await checked;
    const written = diagnostics.map(
      (one) => `${one.span?.file}:${one.span?.line} ${one.code} ${one.message}`,
    );
    expect(written).toEqual([]);
  });

  test('every tolerance can be judged with the instrument that is asked for', async () => {
    const { gauges } = await checked;
    const short = gauges.filter(({ sufficiency }) =>
      ['coarse', 'cannot-judge', 'unknown'].includes(sufficiency),
    );
    expect(gauges.length).toBeGreaterThan(0);
    expect(short).toEqual([]);
  });

  test('every job reaches its end in every variant, and no exploration is cut short', async () => {
    const { proofs } = await checked;
    expect(proofs.length).toBeGreaterThan(0);
    for (const { exploration } of proofs) {
      expect(exploration.reachesEnd).toBe(true);
      expect(exploration.cutShort).toBe(false);
    }
  });

  test('every trial comes out as it says', async () => {
    const { pack: document, digest } = await checked;
    if (document === undefined || digest === undefined) throw new Error('the pack was not read');
    const results = runTrials(document, digest);
    expect(results.length).toBeGreaterThan(0);
    const failed = results.filter((one) => one.failures.length > 0);
    expect(failed.map((one) => [one.trial, ...one.failures])).toEqual([]);
  });
});
