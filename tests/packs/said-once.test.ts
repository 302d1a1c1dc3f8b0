import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { readPackFromFiles, type SourceMapping } from '@ferrule/source';
import { describe, expect, test } from 'vitest';
import { libraries, packs } from './copy-pack.ts';
import { saidTwice, type Written } from './said-twice.ts';

const specs = join(import.meta.dirname, '../../specs');

/** What stands in the folder of a pack or a library, and nothing that it takes from elsewhere. */
function written(id: string): Written {
  const folder = join(specs, id);
  const paths = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter(
    (path) => path.endsWith('.yaml') && statSync(join(folder, path)).isFile(),
  );
  const files = paths.map((path): readonly [string, Uint8Array] => [
    // A library is read by itself here, which only a pack can be.
    path === 'library.yaml' ? 'pack.yaml' : path.replaceAll('\\', '/'),
    readFileSync(join(folder, path)),
  ]);
  return { id, document: readPackFromFiles(new Map(files)).document };
}

const all = packs.map(written);
const ofLibraries = libraries.map(written);
const alone = all.filter(({ document }) => document['uses'] === undefined).map(({ id }) => id);
const compared = [...ofLibraries, ...all.filter(({ id }) => !alone.includes(id))];

/** What stands in two places on purpose. */
const exceptions: readonly {
  readonly kind: string;
  readonly words: string;
  readonly in: readonly string[];
  readonly why: string;
}[] = [
  {
    kind: 'holds',
    words: 'the stop lever did not stop this engine rack linkage or lever is stuck or set wrong',
    in: ['harbour-workshop/1.0.0', 'marram-governor/1.0.0'],
    why: 'The governor times the stop with a stopwatch, and its engine is started again on the brake.',
  },
  {
    kind: 'observations',
    words: 'with the stop lever pulled the engine',
    in: ['harbour-workshop/1.0.0', 'marram-governor/1.0.0'],
    why: 'Its stop is a measured one, with steps of its own.',
  },
  {
    kind: 'readings',
    words: 'temperature of the coolant',
    in: ['marram-cylinder-balance/1.0.0', 'marram-governor/1.0.0'],
    why: 'Each is judged by limits of its own pack, and those hold through other readings there.',
  },
  {
    kind: 'readings',
    words: 'lowest voltage at the battery while cranking',
    in: ['marram-cylinder-balance/1.0.0', 'marram-symptoms/1.0.0'],
    why: 'One is read with the nozzles out, the other on compression.',
  },
  {
    kind: 'readings',
    words: 'speed while cranking',
    in: ['marram-cylinder-balance/1.0.0', 'marram-symptoms/1.0.0'],
    why: 'One is read with the nozzles out, the other on compression.',
  },
  {
    kind: 'states',
    words: 'return line',
    in: ['marram-fuel-supply/1.0.0', 'marram-symptoms/1.0.0'],
    why: 'The one leads it into a glass or clamps it, the other puts the clear line in.',
  },
  {
    kind: 'tolerances',
    words:
      '{ deviation: 50 r/min, nominal: 1500 r/min, of: test-speed, source: Marram workshop notes, table 6-1 (invented) }',
    in: ['marram-fuel-supply/1.0.0', 'marram-symptoms/1.0.0'],
    why: 'A tolerance stands with its reading, and the symptom page has no gauge but the tachometer in its steps.',
  },
  {
    kind: 'tolerances',
    words:
      '{ between: [variant.high-idle-low, variant.top-speed], of: high-idle, source: Marram workshop notes, tables 3-1 and 9-1 (invented) }',
    in: ['marram-governor/1.0.0', 'marram-symptoms/1.0.0'],
    why: 'The limits are facts of the engine, said once; one speed is read on the brake, the other at the helm.',
  },
];

test('only these packs take from no library', () => {
  // The two revisions show how a pack is revised and stay as they were released; valve-clearance is the pack to start from.
  expect(alone).toEqual(['marram-unit-pumps/1.0.0', 'marram-unit-pumps/1.1.0', 'valve-clearance/1.0.0']);
});

describe('of all that the packs and their libraries say', () => {
  const found = saidTwice(compared);
  const lineOf = ({ kind, words, in: ids }: Omit<(typeof exceptions)[number], 'why'>) =>
    `${kind} "${words}" in ${[...ids].sort().join(', ')}`;

  test('nothing is said twice', () => {
    const allowed = new Set(exceptions.map(lineOf));
    expect(found.map(lineOf).filter((one) => !allowed.has(one))).toEqual([]);
  });

  test('no exception is left over', () => {
    const there = new Set(found.map(lineOf));
    expect(exceptions.map(lineOf).filter((one) => !there.has(one))).toEqual([]);
    expect(exceptions.filter(({ why }) => why.length < 20)).toEqual([]);
  });
});

describe('a thing that is said again is found', () => {
  const [library] = ofLibraries.filter(({ id }) => id.startsWith('harbour-workshop/'));
  const sections = Object.keys(library?.document ?? {}).filter(
    (section) => typeof library?.document[section] === 'object' && section !== 'interlocks',
  );

  test.each(sections)('of the library, in %s', (section) => {
    const [name, item] = Object.entries(library?.document[section] ?? {})[0] ?? [];
    expect(name).toBeDefined();
    const pack: Written = { id: 'pack/1.0.0', document: { [section]: { 'another-name': item ?? '' } } };
    expect(library && saidTwice([library, pack]).map(({ in: ids }) => ids)).toContainEqual([
      library?.id,
      'pack/1.0.0',
    ]);
  });

  const stepsOf = (...texts: readonly string[]): SourceMapping => ({
    procedures: { work: { steps: texts.map((text, index) => ({ step: `step-${index}`, do: text })) } },
  });

  test('a group of three steps, whatever stands before it, and not two', () => {
    const one = {
      id: 'one/1.0.0',
      document: stepsOf('Tie the lever.', 'Lock the switch.', 'Hang the card.'),
    };
    const same = stepsOf('Look.', 'Tie the lever.', 'Lock the switch!', 'Hang the card.');
    const fewer = stepsOf('Tie the lever.', 'Lock the switch.', 'Take the card off.');
    expect(saidTwice([one, { id: 'two/1.0.0', document: same }])).toEqual([
      {
        kind: 'steps',
        words: 'tie the lever / lock the switch / hang the card',
        in: ['one/1.0.0', 'two/1.0.0'],
      },
    ]);
    expect(saidTwice([one, { id: 'two/1.0.0', document: fewer }])).toEqual([]);
  });

  test('an instrument by its figures, a law by its condition, a fact of an engine by its value', () => {
    const gauge = { quantity: 'pressure', range: ['0 bar', '4 bar'], resolution: '0.01 bar' };
    const law = { 'only-while': { engine: 'stopped' }, entering: { clip: 'on' } };
    const document = (title: string): SourceMapping => ({
      instruments: { [title]: { title, ...gauge } },
      interlocks: [{ law: title, says: title, ...law }],
      variants: { 'marram-six': { facts: { lead: '17.0°' } } },
    });
    const found = saidTwice([
      { id: 'one/1.0.0', document: document('gauge') },
      { id: 'two/1.0.0', document: document('manometer') },
    ]);
    expect(found.map(({ kind }) => kind)).toEqual(['figures', 'law', 'fact']);
  });
});
