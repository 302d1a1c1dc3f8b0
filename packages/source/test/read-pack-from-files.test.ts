import { compareDiagnostics } from '@ferrule/engine';
import { limits, readPackFromFiles } from '@ferrule/source';
import { describe, expect, it } from 'vitest';

const read = (files: Record<string, string>) => readPackFromFiles(new Map(Object.entries(files)));
const codes = (files: Record<string, string>) => read(files).diagnostics.map(({ code }) => code);
const at = (file: string, line: number, column: number) => ({ file, line, column });

const pack = {
  'pack.yaml': 'pack: harbour-demo\nvariants:\n  marram-three: { cylinders: 3 }\n',
  'instruments.yaml': 'instruments:\n  rack-gauge: { resolution: 0.05 mm }\ninterlocks:\n  - first\n',
  'more.yml': 'variants:\n  marram-four: { cylinders: 4 }\ninterlocks:\n  - second\n  - third:\n',
  'procedures/fit.yaml': 'procedure: fit-pump\ntitle: Fit a pump\nsteps:\n  - step: seat\n    do: Seat it.\n',
  'procedures/set.yaml': '# the second\nprocedure: set-pump\nsteps: []\n',
  'trials/clean.yaml': 'trial: clean\nvariant: marram-three\n',
  'trials/several.yaml': 'trials:\n  - trial: high\n    expect: hold\n  - trial: low\n    expect:\n',
  'notes.txt': 'not: [read',
  'pictures/rack.png': '',
};

describe('a list at the top that is longer than a call takes arguments', () => {
  it('is read like any other', () => {
    const { document, diagnostics } = read({
      ...pack,
      'long.yaml': `x-list: [${Array(150_000).fill('1').join(',')}]\n`,
    });
    expect(diagnostics.filter((one) => one.span?.file === 'long.yaml')).toEqual([]);
    expect(document?.['x-list']).toHaveLength(150_000);
  });
});

describe('merging', () => {
  const { document, diagnostics, positions, files } = read(pack);

  it('gathers sections, procedures and trials', () => {
    expect(document).toEqual({
      pack: 'harbour-demo',
      variants: { 'marram-three': { cylinders: '3' }, 'marram-four': { cylinders: '4' } },
      instruments: { 'rack-gauge': { resolution: '0.05 mm' } },
      interlocks: ['first', 'second', { third: '' }],
      procedures: {
        'fit-pump': { title: 'Fit a pump', steps: [{ step: 'seat', do: 'Seat it.' }] },
        'set-pump': { steps: [] },
      },
      trials: { clean: { variant: 'marram-three' }, high: { expect: 'hold' }, low: { expect: '' } },
    });
  });

  it('moves the pointers of faults along', () => {
    expect(diagnostics.map(({ code, pointer, span }) => [code, pointer, span?.file])).toEqual([
      ['empty-value', '/interlocks/2/third', 'more.yml'],
      ['empty-value', '/trials/low/expect', 'trials/several.yaml'],
    ]);
  });

  it('knows where everything stands', () => {
    expect(positions.key('/variants/marram-four')).toMatchObject(at('more.yml', 2, 3));
    expect(positions.value('/interlocks/0')).toMatchObject(at('instruments.yaml', 4, 5));
    expect(positions.value('/interlocks/1')).toMatchObject(at('more.yml', 4, 5));
    expect(positions.key('/interlocks')).toMatchObject(at('instruments.yaml', 3, 1));
    expect(positions.key('/procedures/fit-pump')).toMatchObject({
      ...at('procedures/fit.yaml', 1, 12),
      endColumn: 20,
    });
    expect(positions.value('/procedures/fit-pump')).toMatchObject({
      ...at('procedures/fit.yaml', 1, 1),
      endLine: 5,
    });
    expect(positions.key('/procedures/fit-pump/steps/0/do')).toMatchObject(at('procedures/fit.yaml', 5, 5));
    expect(positions.key('/trials/low')).toMatchObject(at('trials/several.yaml', 4, 12));
    expect(positions.value('')).toMatchObject(at('pack.yaml', 1, 1));
  });

  it('invents no place', () => {
    expect(positions.key('/procedures')).toBeUndefined();
    expect(positions.value('/procedures')).toBeUndefined();
    expect(positions.key('')).toBeUndefined();
    for (const pointer of [
      '/none',
      '/interlocks/3',
      '/interlocks/01',
      '/interlocks/-',
      '/pack/x',
      'pack',
      '/procedures/fit-pump/procedure',
    ]) {
      expect(positions.value(pointer), pointer).toBeUndefined();
    }
  });

  it('finds the nearest place', () => {
    expect(positions.nearest('/procedures/fit-pump/steps/0')).toMatchObject(at('procedures/fit.yaml', 4, 5));
    expect(positions.nearest('/procedures/fit-pump/steps/0/read')).toMatchObject(
      at('procedures/fit.yaml', 4, 5),
    );
    expect(positions.nearest('/procedures/fit-pump/hazards/2/x')).toMatchObject(
      at('procedures/fit.yaml', 1, 12),
    );
    expect(positions.nearest('/variants/marram-four/bore')).toMatchObject(at('more.yml', 2, 3));
    expect(positions.nearest('/nothing/at/all')).toMatchObject(at('pack.yaml', 1, 1));
  });

  it('lists the files in one order, with size and digest', () => {
    expect(files.map(({ path }) => path)).toEqual([
      'instruments.yaml',
      'more.yml',
      'pack.yaml',
      'procedures/fit.yaml',
      'procedures/set.yaml',
      'trials/clean.yaml',
      'trials/several.yaml',
    ]);
    // sha256sum of the text, computed with coreutils.
    expect(read({ 'pack.yaml': 'a: °\n' }).files).toEqual([
      {
        path: 'pack.yaml',
        bytes: 6,
        digest: 'sha256:b37787f508d677f4517146709f4ee978b080cb04dbca078caa2c5af6a23e435c',
      },
    ]);
  });

  it('does not depend on the order in which files come', () => {
    const reversed = readPackFromFiles(new Map(Object.entries(pack).reverse()));
    expect(JSON.stringify(reversed.document)).toBe(JSON.stringify(document));
    expect(reversed.diagnostics).toEqual(diagnostics);
    expect(reversed.files).toEqual(files);
  });
});

describe('conflicts between files', () => {
  const withPack = (files: Record<string, string>) => ({ 'pack.yaml': 'pack: demo\n', ...files });

  it('names both places of an entry written in two files, and keeps the first', () => {
    const { document, diagnostics } = read(
      withPack({ 'a.yaml': 'states:\n  pin: one\n', 'b.yaml': 'states:\n  pin: two\n' }),
    );
    expect(document).toMatchObject({ states: { pin: 'one' } });
    expect(diagnostics).toMatchObject([
      {
        code: 'duplicate-key',
        pointer: '/states/pin',
        span: at('b.yaml', 2, 3),
        other: [{ pointer: '/states/pin', span: at('a.yaml', 2, 3) }],
      },
    ]);
  });

  it.each([
    ['a text section twice', { 'z.yaml': 'pack: other\n' }, ['section-conflict'], '/pack'],
    ['a mapping and a list', { 'a.yaml': 'x: {b: c}\n', 'b.yaml': 'x: [d]\n' }, ['section-conflict'], '/x'],
    ['a list and a text', { 'a.yaml': 'x: [b]\n', 'b.yaml': 'x: d\n' }, ['section-conflict'], '/x'],
    [
      'an id twice',
      { 'procedures/a.yaml': 'procedure: x\n', 'procedures/b.yaml': 'procedure: x\n' },
      ['duplicate-key'],
      '/procedures/x',
    ],
    [
      'an id twice in a list',
      { 'trials/a.yaml': 'trials: [{trial: x}, {trial: x}]\n' },
      ['duplicate-key'],
      '/trials/x',
    ],
    [
      'an id that a section has',
      { 'a.yaml': 'procedures: {x: {}}\n', 'procedures/a.yaml': 'procedure: x\n' },
      ['duplicate-key'],
      '/procedures/x',
    ],
    ['no id', { 'procedures/a.yaml': 'title: x\n' }, ['missing-id'], '/procedures'],
    ['an empty id', { 'procedures/a.yaml': "procedure: ''\n" }, ['missing-id'], '/procedures'],
    ['an id left out', { 'procedures/a.yaml': 'procedure:\n' }, ['empty-value'], '/procedures'],
    ['an id that is a list', { 'procedures/a.yaml': 'procedure: [a]\n' }, ['missing-id'], '/procedures'],
    ['an empty mapping as procedure', { 'procedures/a.yaml': '{}\n' }, ['missing-id'], '/procedures'],
    [
      '__proto__ as id',
      { 'procedures/a.yaml': 'procedure: __proto__\nb: c\n' },
      ['forbidden-key'],
      '/procedures',
    ],
    [
      '__proto__ as id in a list',
      { 'trials/a.yaml': 'trials: [{trial: __proto__}]\n' },
      ['forbidden-key'],
      '/trials',
    ],
    ['a trial that is a text', { 'trials/a.yaml': 'trials: [x]\n' }, ['missing-id'], '/trials'],
    ['a trial left out', { 'trials/a.yaml': 'trials:\n  -\n' }, ['empty-value'], '/trials'],
    ['trials that are no list', { 'trials/a.yaml': 'trials: {x: {}}\n' }, ['section-conflict'], '/trials'],
    [
      'a key beside trials',
      { 'trials/a.yaml': 'trial: y\ntrials: [{trial: x}]\n' },
      ['unexpected-key'],
      '/trials',
    ],
    [
      'a list of procedures',
      { 'procedures/a.yaml': 'procedures: [{procedure: x}]\n' },
      ['missing-id'],
      '/procedures',
    ],
  ])('%s', (_, files, expected, pointer) => {
    const { diagnostics } = read(withPack(files));
    expect(diagnostics.map(({ code }) => code)).toEqual(expected);
    expect(diagnostics[0]).toMatchObject({ pointer, span: { line: expect.any(Number) } });
    expect(({} as Record<string, unknown>)['b']).toBeUndefined();
  });

  it('reads the other files when one is broken, and reports every fault in order', () => {
    const { document, diagnostics } = read(
      withPack({ 'b.yaml': 'a: [\n', 'c.yaml': 'd: e\nf:\n', 'a.yaml': 'g: !x h\n' }),
    );
    expect(document).toEqual({ pack: 'demo', d: 'e', f: '', g: 'h' });
    expect(diagnostics.map(({ code }) => code)).toEqual(['yaml-tag', 'yaml-syntax', 'empty-value']);
    expect([...diagnostics].sort(compareDiagnostics)).toEqual(diagnostics);
  });
});

describe('file names', () => {
  const body = 'a: b\n';
  it.each([
    ['no manifest', { 'a.yaml': body }, ['missing-manifest']],
    ['a manifest by another name', { 'pack.yml': body }, ['missing-manifest']],
    ['a manifest in a folder', { 'procedures/pack.yaml': 'procedure: a\n' }, ['missing-manifest']],
    [
      'a pack further in',
      { 'a/1.0.0/pack.yaml': body, 'b.yaml': body, 'c/d.yaml': body },
      ['missing-manifest'],
    ],
    ['capitals', { 'pack.yaml': body, 'a.YAML': body }, ['stray-file']],
    ['a folder by another name', { 'pack.yaml': body, 'procedure/a.yaml': body }, ['stray-file']],
    ['a folder in a folder', { 'pack.yaml': body, 'procedures/a/b.yaml': body }, ['stray-file']],
    ['a way out', { 'pack.yaml': body, '../a.yaml': body }, ['file-name']],
    ['from the root', { 'pack.yaml': body, '/a.yaml': body }, ['file-name']],
    ['a backslash', { 'pack.yaml': body, 'procedures\\a.yaml': body }, ['file-name']],
    ['a drive', { 'pack.yaml': body, 'c:a.yaml': body }, ['file-name']],
    ['a letter with two Unicode forms', { 'pack.yaml': body, 'å.yaml': body }, ['file-name']],
    ['a space', { 'pack.yaml': body, 'a b.yaml': body }, ['file-name']],
    ['a line break', { 'pack.yaml': body, 'a\nb.yaml': body }, ['file-name']],
    ['hidden', { 'pack.yaml': body, '.a.yaml': body }, ['file-name']],
  ])('%s', (_, files, expected) => {
    expect(codes(files)).toEqual(expected);
  });

  it('too many', () => {
    const many = (count: number) =>
      Object.fromEntries(
        Array.from({ length: count }, (_, index) => [
          index === 0 ? 'pack.yaml' : `f${index}.yaml`,
          `k${index}: v\n`,
        ]),
      );
    expect(codes(many(limits.files))).toEqual([]);
    const { document, diagnostics } = read(many(limits.files + 1));
    expect(diagnostics.map(({ code }) => code)).toEqual(['too-many-files']);
    expect(document).toEqual({});
  });

  it('too large together', () => {
    const comment = new Uint8Array(limits.fileBytes).fill('#'.charCodeAt(0));
    const names = Array.from({ length: 8 }, (_, index) => `f${index}.yaml`);
    const files = new Map<string, Uint8Array | string>(names.map((name) => [name, comment]));
    const seen = readPackFromFiles(files.set('pack.yaml', 'a: b\n'));
    expect(new Set(seen.diagnostics.map(({ code }) => code))).toEqual(new Set(['too-large', 'empty-file']));
    expect(seen.files).toHaveLength(8);
    expect(seen.document).toEqual({});
  });
});
