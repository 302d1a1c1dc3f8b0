import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { digestOf } from '@ferrule/signing';
import { FileReadings, type PackReading, readPack } from '@ferrule/source';
import { afterEach, expect, test } from 'vitest';

const specs = fileURLToPath(new URL('../../../specs', import.meta.url));
const revisions = ['1.0.0', '1.1.0'].map((one) => join(specs, 'marram-unit-pumps', one));

const folders: string[] = [];
afterEach(() => {
  for (const one of folders.splice(0)) rmSync(one, { recursive: true, force: true });
});

/** A shelf of one small pack with what it takes from. */
function shelf(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-readings-'));
  folders.push(folder);
  for (const one of ['valve-clearance', 'harbour-workshop', 'marram-engines'])
    cpSync(join(specs, one), join(folder, one), { recursive: true });
  return join(folder, 'valve-clearance', '1.0.0');
}

/** Every pointer of a document. */
function pointersOf(value: unknown, at = ''): readonly string[] {
  return typeof value !== 'object' || value === null
    ? [at]
    : [at, ...Object.entries(value).flatMap(([key, item]) => pointersOf(item, `${at}/${key}`))];
}

const seen = ({ document, diagnostics, files, libraries, positions }: PackReading) => ({
  ...{ document, diagnostics, files, libraries },
  places: pointersOf(document).map((one) => [one, positions.key(one), positions.value(one)]),
});

test('two revisions come to the same whether the files that they have alike are read once or twice', async () => {
  const readings = new FileReadings();
  const together: PackReading[] = [];
  for (const one of revisions) together.push(await readPack(one, { readings }));
  for (const [place, one] of revisions.entries()) {
    const found = together[place];
    expect(found && seen(found)).toEqual(seen(await readPack(one)));
  }
  const [older, newer] = together;
  // Read once, what is alike is the very same.
  const [was, is] = [Object(older?.document['procedures']), Object(newer?.document['procedures'])];
  expect(Array.isArray(is['fit-nozzle'].steps)).toBe(true);
  expect(is['fit-nozzle'].steps).toBe(was['fit-nozzle'].steps);
  expect(is['removal']).not.toEqual(was['removal']);
});

test('a file that was changed in between is read anew, with its places', async () => {
  const folder = shelf();
  const readings = new FileReadings();
  const before = await readPack(folder, { readings });
  const path = join(folder, 'pack.yaml');
  writeFileSync(path, `# A line more.\n${readFileSync(path, 'utf8')}`);
  const after = await readPack(folder, { readings });
  expect(after.document).toEqual(before.document);
  expect(after.positions.key('/title')?.line).toBe((before.positions.key('/title')?.line ?? 0) + 1);
});

test('what is wrong with a file is said each time', async () => {
  const folder = shelf();
  writeFileSync(join(folder, 'more.yaml'), 'holds:\n  a: {}\n  a: {}\n  b: *none\n');
  const readings = new FileReadings();
  const [first, second] = [await readPack(folder, { readings }), await readPack(folder, { readings })];
  expect(first.diagnostics.map((one) => one.code)).toEqual(
    expect.arrayContaining(['duplicate-key', 'bad-alias']),
  );
  expect(second.diagnostics).toEqual(first.diagnostics);
});

test('a file that is known takes as much of what a pack may use as one that is read', () => {
  const content = Buffer.from('a: &x 1\nb: *x\nc: [1, 2]\n');
  const twice = (readings: readonly [FileReadings, FileReadings], values: number) => {
    const budget = { values, indicators: 40, repeatedCharacters: 40, spent: false };
    const found = readings.map((one) => one.read('a.yaml', digestOf(content), content, budget).faults);
    return { budget, codes: found.map((one) => one.map(({ code }) => code)) };
  };
  const known = new FileReadings();
  for (let values = 0; values < 25; values++)
    expect(twice([known, known], values), `${values} values`).toEqual(
      twice([new FileReadings(), new FileReadings()], values),
    );
  const [first, second] = twice([known, known], 12).codes;
  expect([first, new Set(second)]).toEqual([[], new Set(['too-many-values'])]);
});
