import { readPackFromFiles } from '@ferrule/source';
import { describe, expect, it } from 'vitest';

type Files = Readonly<Record<string, string>>;
const map = (files: Files) => new Map(Object.entries(files));

const workshop: Files = {
  'library.yaml':
    'format: 1\nlibrary: workshop\nrevision: 1.0.0\nnotice: Demonstration data.\ninterlocks:\n  - { law: still-to-turn, while: { battery: connected }, forbid: turn-crank }\n  - { law: pin-out, while: { any-bore: { pin: in } }, forbid: [lift] }\n',
  'words.yaml':
    'hazards:\n  fire: { text: It burns. }\n  dirt: { text: Grit. }\nstates:\n  battery: { is: [isolated, connected] }\n  pin: { is: [in, out] }\noperations:\n  lift: { title: Lifting }\n',
  'procedures/take-in.yaml': 'procedure: take-in\nsteps:\n  - { step: look, hazards: [fire] }\n',
};
const engines: Files = {
  'library.yaml':
    'format: 1\nlibrary: engines\nrevision: 2.1.0\nvariants:\n  marram-three: { cylinders: 3, facts: { stroke: 110 mm } }\n  marram-four: { cylinders: 4, facts: { stroke: 110 mm } }\n',
};

const digestOf = (files: Files): string => {
  const { libraries } = using('', { workshop: files });
  return libraries[0]?.digest ?? '';
};

function using(
  pack: string,
  { workshop: own = workshop, engines: motors = engines }: { workshop?: Files; engines?: Files } = {},
  uses = `uses:\n  workshop: { revision: 1.0.0, digest: any }\n  engines: { revision: 2.1.0, digest: any }\n`,
) {
  return readPackFromFiles(
    map({ 'pack.yaml': `pack: bench\n${uses}${pack}` }),
    new Map([
      ['workshop/1.0.0', map(own)],
      ['engines/2.1.0', map(motors)],
    ]),
  );
}

/** What is said beside the digest, which these packs leave open. */
const said = ({ diagnostics }: ReturnType<typeof using>) =>
  diagnostics.filter(({ code }) => code !== 'library-digest');

describe('what a pack takes from its libraries', () => {
  it('is what it names, with what that names in turn, and nothing else', () => {
    const read = using(
      'procedures:\n  job: { steps: [{ perform: take-in }, { step: go, requires: { battery: isolated } }] }\n',
    );
    expect(said(read)).toEqual([]);
    expect(read.document['hazards']).toEqual({ fire: { text: 'It burns.' } });
    expect(read.document['states']).toEqual({ battery: { is: ['isolated', 'connected'] } });
    expect(Object.keys(read.document['procedures'] ?? {})).toEqual(['job', 'take-in']);
    expect(read.document['variants']).toBeUndefined();
    expect(read.document['operations']).toBeUndefined();
    expect(read.document['notice']).toBe('Demonstration data.');
  });

  it('brings the laws over states and operations that are all there', () => {
    const laws = (pack: string) =>
      ((using(pack).document['interlocks'] ?? []) as readonly { law: string }[]).map(({ law }) => law);
    expect(laws('x: battery\n')).toEqual(['still-to-turn']);
    expect(laws('x: pin\n')).toEqual([]);
    expect(laws('x: [pin, lift]\ninterlocks: [{ law: own }]\n')).toEqual(['own', 'pin-out']);
  });

  it('has no procedure that is only spoken of', () => {
    expect(using('x: take-in\n').document['procedures']).toBeUndefined();
  });

  it('is found inside names with dots and bores', () => {
    expect(using('x: battery@2.y\n').document['states']).toEqual({
      battery: { is: ['isolated', 'connected'] },
    });
  });

  it('adds to a variant of the pack, and each keeps its place in its file', () => {
    const { document, positions } = using('variants:\n  marram-four: { facts: { caps: 16 } }\n');
    expect(document['variants']).toEqual({
      'marram-four': { cylinders: '4', facts: { stroke: '110 mm', caps: '16' } },
    });
    expect(positions.value('/variants/marram-four/facts/caps')).toMatchObject({ file: 'pack.yaml', line: 6 });
    expect(positions.value('/variants/marram-four/cylinders')).toMatchObject({
      file: '../../engines/2.1.0/library.yaml',
      line: 6,
    });
  });

  it('is known by the digest of each library, whatever its files are called', () => {
    const { 'words.yaml': words = '', ...rest } = workshop;
    expect(digestOf({ ...rest, 'a.yaml': `# a remark\n${words}` })).toBe(digestOf(workshop));
    expect(digestOf({ ...rest, 'a.yaml': words.replace('Grit', 'Sand') })).not.toBe(digestOf(workshop));
  });

  it('changes the digest of nothing but what is taken', () => {
    const { 'words.yaml': words = '', ...rest } = workshop;
    const other = { ...rest, 'words.yaml': words.replace('Grit', 'Sand') };
    const pack = 'procedures:\n  job: { steps: [{ perform: take-in }] }\n';
    expect(using(pack, { workshop: other }).document).toEqual(using(pack).document);
  });
});

describe('is refused, with the place and what to do', () => {
  it.each([
    [
      'a digest that is another',
      '',
      {},
      ['library-digest', 'library-digest'],
      /its digest is sha256:[0-9a-f]{64}/,
    ],
    [
      'a name that both declare',
      'hazards:\n  fire: { text: Other. }\nx: fire\n',
      {},
      ['duplicate-name'],
      /workshop declares fire/,
    ],
    [
      'a fact that both say',
      'variants:\n  marram-four: { cylinders: 5 }\n',
      {},
      ['duplicate-name'],
      /engines says cylinders/,
    ],
    [
      'a library by another name',
      '',
      { workshop: { 'library.yaml': 'library: shop\nrevision: 1.0.0\n' } },
      ['missing-library'],
      /says that it is shop in revision 1.0.0/,
    ],
    [
      'a folder without library.yaml',
      '',
      { workshop: { 'a.yaml': 'hazards: {}\n' } },
      ['missing-manifest'],
      /no library.yaml/,
    ],
    [
      'a key that no library has',
      '',
      { workshop: { 'library.yaml': 'library: workshop\nrevision: 1.0.0\ntrials: {}\n' } },
      ['unknown-key'],
      /trials is not known in a library/,
    ],
    ['a file that is broken', '', { workshop: { ...workshop, 'b.yaml': 'a: [1\n' } }, ['yaml-syntax'], /./],
  ] as const)('%s', (_, pack, files, codes, message) => {
    const read = using(pack, files);
    const found = codes[0] === 'library-digest' ? read.diagnostics : said(read);
    expect(found.map(({ code }) => code)).toEqual(codes);
    expect(found[0]?.message).toMatch(message);
    expect(found[0]?.remedy).toMatch(/\w/);
    expect(found.every(({ code, span }) => code === 'missing-manifest' || span !== undefined)).toBe(true);
  });

  it('a library that is not there', () => {
    const { diagnostics } = using('', {}, 'uses:\n  tools: { revision: 1.0.0, digest: any }\n');
    expect(diagnostics).toMatchObject([
      { code: 'missing-library', pointer: '/uses/tools', span: { file: 'pack.yaml', line: 3 } },
    ]);
    expect(diagnostics[0]?.remedy).toContain('tools/1.0.0, beside the folder bench');
  });

  it.each(['../../etc', 'Workshop', 'a/b', ''])('a name that is none: %j', (name) => {
    const read = readPackFromFiles(
      map({ 'pack.yaml': `uses:\n  ${JSON.stringify(name)}: { revision: 1.0.0, digest: any }\n` }),
    );
    expect(read.libraries).toEqual([]);
    expect(read.files.map(({ path }) => path)).toEqual(['pack.yaml']);
  });

  it.each(['../1.0.0', '1.0.0/..', '1.0', '..'])('a revision that is none: %j', (revision) => {
    const read = readPackFromFiles(
      map({ 'pack.yaml': `uses:\n  workshop: { revision: ${revision}, digest: any }\n` }),
    );
    expect(said({ ...read })).toEqual([]);
    expect(read.files.map(({ path }) => path)).toEqual(['pack.yaml']);
  });
});
