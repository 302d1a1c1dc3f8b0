import { join } from 'node:path';
import type { Pack } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { expect, test } from 'vitest';
import { comparePacks } from '../src/index.ts';

const specs = join(import.meta.dirname, '../../../specs');

async function read(folder: string): Promise<Pack> {
  const { pack } = validate((await readPack(join(specs, folder))).document);
  if (pack === undefined) throw new Error(`${folder} is no pack`);
  return pack;
}

test('unit pumps 1.1.0: the deliberate changes, and nothing else', async () => {
  const [before, after] = [await read('marram-unit-pumps/1.0.0'), await read('marram-unit-pumps/1.1.0')];
  const changes = comparePacks(before, after);
  const lines = changes
    .filter(({ kind }) => kind !== 'trial')
    .map((one) =>
      `${one.change} ${one.weight} ${one.effect ?? '-'} ${one.kind} ${one.name} ${one.key ?? ''}`.trim(),
    );
  expect(lines).toEqual([
    'caution-added safety stronger step close/turn-over/two-turns hazards',
    'tightened conformity stronger tolerance install-and-synchronise/drift-limits deviation',
    'moved work - step fuel-and-oil/dip-oil',
    'variant-added work - variant marram-six',
    'renamed wording - instrument optical-tachometer',
    'restated wording - tolerance first-start/oil-pressure-limit at-least',
    'reworded wording - instrument optical-tachometer title',
    'reworded wording - step removal/nozzles/bore/cap-ports do',
  ]);
  // The changelog of the pack names the trials that follow the tightened limit, and one that names the instrument.
  const trials = changes.filter(({ kind, change }) => kind === 'trial' && change === 'changed');
  expect(trials.map(({ name }) => name)).toEqual([
    'clean-four',
    'drift-in-the-guard-band',
    'drift-never-decided',
    'set-point-at-its-limits',
  ]);
});

test.each(['marram-unit-pumps/1.1.0', 'marram-fuel-supply/1.0.0', 'marram-nozzle-bench/1.0.0'])(
  '%s does not differ from itself',
  async (folder) => {
    expect(comparePacks(await read(folder), await read(folder))).toEqual([]);
  },
);
