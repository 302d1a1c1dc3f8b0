import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { checkPack, coverageOf, runTrials } from '@ferrule/check';
import { describe, expect, test } from 'vitest';
import { libraries, overlays, packs } from './copy-pack.ts';

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

  // At a stop the tool may be what holds the crankshaft: what is off after every turn holds nothing.
  test('no hazard has the turning tool off before the steps that need it are done', async () => {
    const { pack: document } = await checked;
    const texts = Object.values(document?.hazards ?? {}).map(({ text }) => text);
    expect(texts.length).toBeGreaterThan(0);
    const off = texts.flatMap((text) => /turning tool off .*/s.exec(text)?.[0] ?? []);
    expect(off.filter((one) => one !== 'turning tool off before the starter can turn it.')).toEqual([]);
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

describe.each(overlays)('%s', (overlay) => {
  const folder = join(specs, overlay);
  const text = readFileSync(join(folder, 'overlay.yaml'), 'utf8');
  const [, name = '', revision = ''] = /^over:\n +pack: (\S+)\n +revision: (\S+)\n/m.exec(text) ?? [];
  const pack = join(specs, name, revision);
  let checked: ReturnType<typeof checkPack> | undefined;
  // Not before the packs have been checked, whose proofs take as long.
  const check = () => {
    checked ??= checkPack(pack, { overlay: folder });
    return checked;
  };

  // When the pack has changed, this says which digest to write under over: in overlay.yaml.
  test('is for the pack as it stands there, and clean over it', async () => {
    const { diagnostics } = await check();
    expect(diagnostics.map((one) => `${one.code} ${one.message} ${one.remedy}`)).toEqual([]);
  });

  test('every job still reaches its end in every variant', async () => {
    const { proofs } = await check();
    expect(proofs.length).toBeGreaterThan(0);
    expect(proofs.filter(({ exploration }) => !exploration.reachesEnd || exploration.cutShort)).toEqual([]);
  });

  test('every trial of it comes out as it says, and they reach what it adds', async () => {
    const { pack: document, digest, positions } = await check();
    if (document === undefined || digest === undefined) throw new Error('the pack was not read');
    const results = runTrials(document, digest);
    expect(results.map((one) => one.trial)).toEqual(document.overlaid?.trials);
    expect(results.length).toBeGreaterThan(0);
    expect(results.flatMap((one) => one.failures)).toEqual([]);
    const unreached = coverageOf(document, results).flatMap(({ items }) =>
      items.filter(
        ({ standing, pointer }) =>
          standing === 'unreached' && positions.nearest(pointer)?.file.includes(`${overlay}/`) === true,
      ),
    );
    expect(unreached).toEqual([]);
  });

  test('leaves the pack as it is', async () => {
    const { pack: document } = await check();
    const { digest } = await checkPack(pack, { withoutProof: true });
    expect(document?.overlaid?.over).toBe(digest);
  });
});
