import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { validate } from '@ferrule/engine/validate';
import { readPack } from '@ferrule/source';
import { load } from 'js-yaml';
import { contest } from './contest.ts';
import { folder, planFor, readDemoPack } from './demo-pack.ts';
import { duration, type Row, rowsOf } from './row.ts';

const VARIANT = 'marram-four';
const AIM_MILLISECONDS = 50;

const yamlFiles = (): readonly string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => join(folder, name));

/** Reads the demonstration pack as far as a plan, cold and warm, beside the YAML parser alone on the same files. */
export async function measureLoading(): Promise<readonly Row[]> {
  const measure = `the demonstration pack, ${VARIANT}`;
  const before = process.hrtime.bigint();
  planFor(await readDemoPack(), VARIANT);
  const cold = Number(process.hrtime.bigint() - before);

  const pack = await readDemoPack();
  const files = yamlFiles();
  const again = async (count: number, work: () => unknown): Promise<void> => {
    for (let index = 0; index < count; index++) await work();
  };
  const { document } = await readPack(folder);
  const timings = await contest([
    {
      name: 'Ferrule, read, validated and resolved',
      run: (count) => again(count, async () => planFor(await readDemoPack(), VARIANT)),
    },
    { name: 'of this: read', run: (count) => again(count, () => readPack(folder)) },
    { name: 'of this: validated', run: (count) => again(count, () => validate(document)) },
    { name: 'of this: resolved', run: (count) => again(count, () => planFor(pack, VARIANT)) },
    {
      name: 'js-yaml, the same files, no positions',
      run: (count) => again(count, () => files.map((file) => load(readFileSync(file, 'utf8')))),
    },
  ]);
  const warm = (timings[0]?.nanoseconds ?? Number.NaN) / 1e6;
  const rows = rowsOf(measure, timings).map((row, place) =>
    place === 0
      ? { ...row, aim: { says: `${AIM_MILLISECONDS} ms warm`, met: warm <= AIM_MILLISECONDS } }
      : row,
  );
  return [...rows, { measure, of: 'Ferrule, the first time in a process', value: duration(cold) }];
}
