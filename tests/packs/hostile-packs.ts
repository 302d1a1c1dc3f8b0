/** What a file of a pack holds, or the place that a symbolic link with its name leads to. */
type Contents = string | Uint8Array | { readonly linkTo: string };

export interface HostilePack {
  /** What it tries. */
  readonly tries: string;
  readonly files: () => Readonly<Record<string, Contents>>;
  /** A code that check has to give. */
  readonly code: string;
  /** It may be as it is: nothing but warnings. */
  readonly exitCode?: 0;
  /** What is called instead of `check`. */
  readonly verb?: 'trial';
}

type Json = string | readonly Json[] | { readonly [key: string]: Json };

const list = <T>(count: number, each: (index: number) => T): readonly T[] =>
  Array.from({ length: count }, (_, index) => each(index));
const map = (
  count: number,
  each: (index: number) => readonly [string, Json],
): { readonly [key: string]: Json } => Object.fromEntries(list(count, each));

const manifest = {
  format: '1',
  pack: 'hostile',
  revision: '1.0.0',
  title: 'A pack that means harm',
  notice: 'Demonstration data.',
  roles: { technician: { title: 'Technician' } },
  variants: { one: { title: 'One', cylinders: '2' } },
} satisfies Json;

const job = {
  procedure: 'job',
  title: 'The job',
  steps: [{ step: 'look', do: 'Look at it.' }],
} satisfies Json;

/** A pack of one job; JSON is YAML. */
const pack = (
  sections: { readonly [key: string]: Json } = {},
  procedure: { readonly [key: string]: Json } = {},
  more: Readonly<Record<string, Json>> = {},
): Readonly<Record<string, string>> => ({
  'pack.yaml': JSON.stringify({ ...manifest, ...sections }),
  'procedures/job.yaml': JSON.stringify({ ...job, ...procedure }),
  ...Object.fromEntries(Object.entries(more).map(([file, json]) => [file, JSON.stringify(json)])),
});

const raw = (text: string | Uint8Array): Readonly<Record<string, Contents>> => ({
  ...pack(),
  'more.yaml': text,
});
const under = (text: string): Readonly<Record<string, Contents>> => raw(`x-y: ${text}\n`);

const MEGA = 1_000_000;
const mebibytes = (count: number, text: string): string =>
  text.repeat(Math.ceil((count * 1024 * 1024) / text.length));

const reading = (more: { readonly [key: string]: Json } = {}) => ({
  gap: {
    measurand: 'Gap',
    quantity: 'length',
    unit: 'mm',
    plausible: ['0 mm', '9 mm'],
    ...more,
  },
});

/** Procedures of which each performs the next one several times over. */
const tower = (levels: number, times: number): Readonly<Record<string, Json>> =>
  Object.fromEntries(
    list(levels, (level) => [
      `procedures/p${level}.yaml`,
      {
        procedure: `p${level}`,
        title: `Level ${level}`,
        steps:
          level === levels - 1
            ? [{ step: 'look', do: 'Look at it.' }]
            : list(times, (time) => ({ perform: `p${level + 1}`, as: `t${time}` })),
      },
    ]),
  );

const yesOrNo = { text: 'It is …', answers: { good: 'good', bad: 'bad' }, conforming: ['good'] };

/** Texts for every place where prose is read, all of them as long as they may be, in files as large as they may be. */
const prose = (text: string, count = 150): Readonly<Record<string, string>> =>
  pack(
    {
      hazards: map(count, (n) => [`h${n}`, { signal: 'warning', text }]),
      conditions: map(count, (n) => [`c${n}`, { text }]),
      equipment: map(count, (n) => [`e${n}`, { title: text, note: text }]),
      states: { lamp: { title: 'Lamp', is: ['on', 'off'], starts: 'on', ends: 'on' } },
      interlocks: list(count, (n) => ({
        law: `l${n}`,
        says: text,
        operation: 'turn-crank',
        'only-while': { lamp: 'on' },
      })),
      parts: { ring: { title: 'Ring', per: 'bore' } },
      variants: { one: { title: text, cylinders: '2' }, two: { title: 'Two', cylinders: '3' } },
      holds: { stop: { text, release: [{ concession: 'technician' }] } },
    },
    wordy('job', text, count),
    Object.fromEntries(list(5, (n) => [`procedures/w${n}.yaml`, wordy(`w${n}`, text, count)])),
  );

const wordy = (procedure: string, text: string, count: number): { readonly [key: string]: Json } => ({
  procedure,
  title: text,
  readings: map(count, (n) => [
    `r${n}`,
    { measurand: text, quantity: 'length', unit: 'mm', plausible: ['1 mm', '9 mm'] },
  ]),
  derived: map(count, (n) => [`d${n}`, { title: text, is: { difference: [`r${n}`, 'r0'] } }]),
  tolerances: map(count, (n) => [`t${n}`, { title: text, of: `d${n}`, 'at-most': '5 mm', source: 'S' }]),
  steps: list(count, (n) => ({
    step: `s${n}`,
    do: text,
    title: text,
    read: `r${n}`,
    photograph: text,
    judge: `t${n}`,
    'if-nonconforming': { hold: 'stop' },
  })),
});
const long = (text: string, most = 2000): string =>
  text
    .repeat(Math.ceil(most / text.length))
    .slice(0, most)
    .trim();

const names = (count: number, letter: string): readonly string[] =>
  list(count, (n) => `${letter.repeat(50)}-${letter}${n}`);

/** Files, and what stands in them, that mean to take the time, the memory or the files of whoever checks them. */
export const hostilePacks: readonly HostilePack[] = [
  // What is read.
  {
    tries: 'aliases that double at each line',
    code: 'too-many-values',
    files: () => under(`&a0 [a, a]\n${list(40, (n) => `x-y${n}: &a${n + 1} [*a${n}, *a${n}]`).join('\n')}`),
  },
  { tries: 'an alias inside itself', code: 'bad-alias', files: () => under('&a [*a, *a]') },
  {
    tries: '30,000 anchors, and an alias for each',
    code: 'unused-name',
    exitCode: 0,
    files: () => ({
      ...pack({ equipment: { lamp: { title: 'Lamp' } } }),
      'more.yaml': `x-y:\n${list(30_000, (n) => `  k${n}: &a${n} b\n  m${n}: *a${n}\n`).join('')}`,
    }),
  },
  { tries: '100,000 nested lists', code: 'too-deep', files: () => under('['.repeat(100_000)) },
  {
    tries: '100,000 nested lists that are closed',
    code: 'too-deep',
    files: () => under('['.repeat(100_000) + ']'.repeat(100_000)),
  },
  {
    tries: '100,000 nested lists of dashes',
    code: 'too-deep',
    files: () => raw(`x-y:\n  ${'- '.repeat(100_000)}a\n`),
  },
  { tries: '100,000 nested maps', code: 'too-deep', files: () => under('{a: '.repeat(100_000)) },
  {
    tries: '2,000 maps, each indented further',
    code: 'too-deep',
    files: () => raw(`x-y:\n${list(2000, (n) => `${' '.repeat(n + 1)}a:\n`).join('')}`),
  },
  { tries: 'a file of 50 MB', code: 'too-large', files: () => raw(mebibytes(50, 'x-a: b\n')) },
  { tries: 'a file of 50 MB on one line', code: 'too-large', files: () => under(mebibytes(50, 'a')) },
  {
    tries: 'many files that are large together',
    code: 'too-large',
    files: () => ({
      ...pack(),
      ...Object.fromEntries(list(12, (n) => [`f${n}.yaml`, `x-f${n}: ${mebibytes(3.9, 'a ')}\n`])),
    }),
  },
  {
    tries: 'a million entries on lines',
    code: 'too-many-values',
    files: () => raw(`x-y:\n${'- a\n'.repeat(MEGA)}`),
  },
  {
    tries: 'a million entries on one line',
    code: 'too-many-values',
    files: () => under(`[${'a,'.repeat(MEGA)}a]`),
  },
  {
    tries: 'entries just below the bound',
    code: 'unused-name',
    exitCode: 0,
    files: () => ({
      ...pack({ equipment: { lamp: { title: 'Lamp' } } }),
      'more.yaml': `x-y: [${'a,'.repeat(190_000)}a]`,
    }),
  },
  { tries: 'a million empty lines', code: 'too-many-values', files: () => raw('\n'.repeat(MEGA)) },
  { tries: 'a million comments', code: 'too-many-values', files: () => raw('#\n'.repeat(MEGA)) },
  {
    tries: 'a million duplicate keys',
    code: 'too-many-values',
    files: () => under(`{${'a: b,'.repeat(MEGA / 2)}}`),
  },
  {
    tries: '60,000 duplicate keys',
    code: 'duplicate-key',
    files: () => under(`{${'a: b,'.repeat(60_000)}c: d}`),
  },
  {
    tries: 'a million quotes that open',
    code: 'yaml-syntax',
    files: () => under(`${"'a' ".repeat(MEGA / 2)}`),
  },
  {
    tries: 'quotes that open and never close',
    code: 'yaml-syntax',
    files: () => raw(`${'- "\n'.repeat(90_000)}: :`),
  },
  { tries: 'four megabytes of blanks', code: 'empty-value', files: () => under(' '.repeat(4_000_000)) },
  {
    tries: 'blanks before a colon',
    code: 'yaml-syntax',
    files: () => raw(`a${' '.repeat(3_900_000)}b\nc: d\n`),
  },
  { tries: 'a long key', code: 'unknown-key', files: () => raw(`${'a'.repeat(MEGA)}: b\n`) },
  { tries: '100,000 tags', code: 'yaml-tag', files: () => under(`[${'!a b,'.repeat(100_000)}c]`) },
  {
    tries: 'a million directives',
    code: 'yaml-syntax',
    files: () => raw(`${'%TAG ! !\n'.repeat(300_000)}---\na: b\n`),
  },
  {
    tries: '100,000 documents',
    code: 'several-documents',
    files: () => raw(`x-a: b\n${'---\nx-a: b\n'.repeat(50_000)}`),
  },
  {
    tries: 'a block text of four megabytes',
    code: 'unused-name',
    exitCode: 0,
    files: () => ({
      ...pack({ equipment: { lamp: { title: 'Lamp' } } }),
      'more.yaml': `x-y: |\n${'  a\n'.repeat(350_000)}`,
    }),
  },
  {
    tries: 'four megabytes of escapes',
    code: 'too-many-values',
    files: () => under(`["${'\\x41'.repeat(700_000)}", ${'a,'.repeat(400_000)}]`),
  },
  {
    tries: 'bytes that are no UTF-8',
    code: 'invalid-utf8',
    files: () => raw(new Uint8Array([0x78, 0x3a, 0x20, 0xc3, 0x28, 0x0a])),
  },
  {
    tries: 'megabytes that are no UTF-8',
    code: 'invalid-utf8',
    files: () => raw(new Uint8Array(4_000_000).fill(0xff)),
  },
  { tries: 'megabytes of zero', code: 'bad-character', files: () => raw(new Uint8Array(4_000_000)) },
  { tries: 'UTF-16', code: 'invalid-utf8', files: () => raw(new Uint8Array([0xff, 0xfe, 0x78, 0])) },
  { tries: 'signs that turn the text about', code: 'bad-character', files: () => under('a \u202e b') },
  {
    tries: 'signs that turn the text about, as an escape',
    code: 'bad-character',
    files: () => under('"a \\u202e b"'),
  },
  {
    tries: 'a file that leads out of the folder',
    code: 'symbolic-link',
    files: () => ({ ...pack(), 'more.yaml': { linkTo: '/etc/passwd' } }),
  },
  {
    tries: 'a folder that leads out of the folder',
    code: 'symbolic-link',
    files: () => ({ ...pack(), trials: { linkTo: '/' } }),
  },
  {
    tries: 'a folder that leads into itself',
    code: 'symbolic-link',
    files: () => ({ ...pack(), trials: { linkTo: '.' } }),
  },
  {
    tries: 'a file without an end',
    code: 'symbolic-link',
    files: () => ({ ...pack(), 'more.yaml': { linkTo: '/dev/zero' } }),
  },
  {
    tries: 'a manifest that leads out of the folder',
    code: 'symbolic-link',
    files: () => ({ 'pack.yaml': { linkTo: '/dev/zero' } }),
  },
  ...['__proto__', 'constructor', 'prototype'].map(
    (key): HostilePack => ({
      tries: `the key ${key}`,
      code: 'forbidden-key',
      files: () => ({
        ...pack(),
        'more.yaml': `equipment:\n  ${key}: { title: Lamp }\n${key}: { polluted: yes }\n`,
      }),
    }),
  ),
  ...['constructor', '__proto__'].map(
    (name): HostilePack => ({
      tries: `the name ${name}, where a name is looked up`,
      code: name === '__proto__' ? 'wrong-value' : 'unknown-name',
      files: () =>
        pack(
          {},
          {
            steps: [
              { step: 'look', do: `Look at {${name}}.`, with: [name], changes: { lamp: [name, name] } },
            ],
          },
        ),
    }),
  ),
  {
    tries: `a procedure of the name constructor`,
    code: 'forbidden-key',
    files: () => ({ ...pack(), 'procedures/c.yaml': JSON.stringify({ ...job, procedure: 'constructor' }) }),
  },
  {
    tries: '4,900 files',
    code: 'too-many-files',
    files: () =>
      Object.fromEntries([...Object.entries(pack()), ...list(4900, (n) => [`f${n}.yaml`, 'x: y'] as const)]),
  },
  {
    tries: '5,100 files that are not YAML',
    code: 'too-many-files',
    files: () =>
      Object.fromEntries([...Object.entries(pack()), ...list(5100, (n) => [`f${n}.txt`, ''] as const)]),
  },
  {
    tries: 'folders in folders',
    code: 'too-deep',
    files: () => ({ ...pack(), [`${'a/'.repeat(200)}f.yaml`]: 'x: y' }),
  },

  // What is held against the format.
  {
    tries: '100,000 unknown keys',
    code: 'wrong-form',
    files: () => raw(`equipment: {${list(30_000, (n) => `k${n}: { titel: a }`).join(', ')}}`),
  },
  {
    tries: '2,000 unknown keys in each of 20 maps',
    code: 'unknown-key',
    files: () =>
      raw(
        `equipment: {${list(20, (n) => `k${n}: { title: a, ${list(1900, (m) => `titel${m}: a`).join(', ')} }`).join(', ')}}`,
      ),
  },
  { tries: 'a text of one megabyte', code: 'wrong-value', files: () => pack({ title: 'a'.repeat(MEGA) }) },
  {
    tries: 'a name of one megabyte',
    code: 'wrong-value',
    files: () => pack({ pack: 'a-'.repeat(MEGA / 2) }),
  },
  {
    tries: 'a thousand texts that are too long',
    code: 'wrong-value',
    files: () => pack({ equipment: map(1000, (n) => [`e${n}`, { title: 'a'.repeat(3000) }]) }),
  },
  {
    tries: 'names that hardly match',
    code: 'wrong-value',
    files: () => pack({ pack: `${'a-a'.repeat(MEGA / 10)}!` }),
  },
  {
    tries: 'numbers that are out of all bounds',
    code: 'wrong-value',
    files: () => pack({ variants: { one: { title: 'One', cylinders: '9'.repeat(10_000) } } }),
  },
  ...[
    '1e999999 mm',
    '1e-999999 mm',
    `${'9'.repeat(60)} mm`,
    '1/0 mm',
    '999999/1 mm',
    'NaN mm',
    'Infinity mm',
    `0.${'0'.repeat(58)}1 mm`,
  ].map(
    (value): HostilePack => ({
      tries: `the number ${value.slice(0, 20)}`,
      ...(/^9{60}|^0\.0/.test(value)
        ? { code: 'unused-name', exitCode: 0 as const }
        : { code: 'bad-quantity' }),
      files: () =>
        pack(
          {},
          {
            readings: reading({ plausible: ['0 mm', value] }),
            steps: [{ step: 'look', do: 'Look.', read: 'gap' }],
          },
        ),
    }),
  ),
  {
    tries: 'a number of 10,000 digits',
    code: 'wrong-value',
    files: () =>
      pack(
        {},
        {
          readings: reading({ plausible: ['0 mm', `${'9'.repeat(10_000)} mm`] }),
          steps: [{ step: 'look', do: 'Look.', read: 'gap' }],
        },
      ),
  },

  // Shapes: where an expression that goes back and forth could be looked for.
  ...['(a+)+$', '^(([a-z])+.)+[A-Z]([a-z])+$', '(x|x)*y', '"'].map(
    (shape): HostilePack => ({
      tries: `the shape ${shape}`,
      code: shape === '"' ? 'bad-shape' : 'FAIL',
      ...(shape === '"' ? {} : { verb: 'trial' as const }),
      files: () =>
        pack(
          { fields: { number: { title: 'Number', shape, longest: '2000' } } },
          { steps: [{ step: 'look', do: 'Look.', 'fill-in': 'number' }] },
          {
            'trials/t.yaml': {
              trial: 't',
              says: 'A long text.',
              procedure: 'job',
              variant: 'one',
              answers: { persons: { technician: 'A' }, fields: { number: 'a'.repeat(60) } },
              expect: { outcome: 'closed' },
            },
          },
        ),
    }),
  ),

  // What is resolved.
  {
    tries: 'a procedure that performs itself',
    code: 'recursive-procedure',
    files: () => pack({}, { steps: [{ perform: 'job' }] }),
  },
  {
    tries: 'a circle of 400 procedures',
    code: 'too-many-steps',
    files: () =>
      pack(
        {},
        { steps: [{ perform: 'p0' }] },
        Object.fromEntries(
          list(400, (n) => [
            `procedures/p${n}.yaml`,
            { procedure: `p${n}`, title: 'P', steps: [{ perform: `p${(n + 1) % 400}` }] },
          ]),
        ),
      ),
  },
  {
    tries: 'a procedure that performs itself in its rework',
    code: 'recursive-procedure',
    files: () =>
      pack(
        {},
        {
          observations: { seen: yesOrNo },
          holds: {
            stop: {
              text: 'Stop here and ask.',
              release: [{ rework: [{ perform: 'job' }], 'resume-at': 'look', times: '2' }],
            },
          },
          steps: [
            {
              step: 'look',
              do: 'Look.',
              observe: 'seen',
              'if-nonconforming': {
                rework: [{ perform: 'job' }],
                'resume-at': 'look',
                attempts: '200',
                exhausted: 'stop',
              },
            },
          ],
        },
      ),
  },
  {
    tries: '500 times 500 times 500 times 500 steps',
    code: 'too-many-steps',
    files: () => pack({}, { steps: [{ perform: 'p0' }] }, tower(5, 500)),
  },
  {
    tries: 'two procedures, 60 levels deep',
    code: 'too-many-steps',
    files: () => pack({}, { steps: [{ perform: 'p0' }] }, tower(60, 2)),
  },
  {
    tries: '400 levels of procedures',
    code: 'too-many-steps',
    files: () => pack({}, { steps: [{ perform: 'p0' }] }, tower(400, 1)),
  },
  {
    tries: 'loops in loops over 24 bores',
    code: 'too-many-steps',
    files: () => {
      const inside = (depth: number): Json =>
        depth === 0
          ? { step: 'look', do: 'Look.' }
          : { each: `n${depth}`, of: list(24, (n) => `v${n}`), steps: [inside(depth - 1)] };
      return pack({ variants: { one: { title: 'One', cylinders: '24' } } }, { steps: [inside(6)] });
    },
  },
  {
    tries: '24 cylinders and 720 stops',
    code: 'crank-data',
    files: () =>
      pack({
        variants: {
          one: {
            title: 'One',
            cylinders: '24',
            'firing-order': list(24, (n) => `${n + 1}`),
            'off-base': { before: '70°', after: '250°' },
            marks: map(700, (n) => [`m${n}`, { at: `${n}°`, title: `Mark ${n}` }]),
            rotation: {
              from: 'm0',
              sequence: 'rear-to-front',
              accuracy: '0.1°',
              stops: list(720, (n) => ({ at: `${n}°`, 'held-by': 'the tool' })),
            },
          },
        },
      }),
  },
  {
    tries: '24 cylinders and 200 stops, visited in 100 variants',
    code: 'unused-name',
    exitCode: 0,
    files: () =>
      pack(
        {
          equipment: { lamp: { title: 'Lamp' } },
          variants: map(100, (v) => [
            `v${v}`,
            {
              title: `V ${v}`,
              cylinders: '24',
              'firing-order': list(24, (n) => `${n + 1}`),
              'off-base': { before: '10°', after: '20°' },
              marks: { m: { at: '0°', title: 'Mark' } },
              rotation: {
                from: 'm',
                sequence: 'rear-to-front',
                accuracy: '0.1°',
                stops: list(30, (n) => ({ at: `${n * 24 + 22}°`, 'held-by': 'the tool' })),
              },
            },
          ]),
        },
        {
          steps: [
            { each: 'stop', of: 'plan.stops', steps: [{ step: 'turn', do: 'Turn.', turn: 'stop.rotation' }] },
          ],
        },
      ),
  },
  {
    tries: '1,900 variants of 490 procedures',
    code: 'too-many-steps',
    files: () =>
      pack(
        { variants: map(1900, (n) => [`v${n}`, { title: `V ${n}` }]) },
        {},
        Object.fromEntries(
          list(490, (n) => [`procedures/p${n}.yaml`, { ...job, procedure: `p${n}`, title: `P ${n}` }]),
        ),
      ),
  },
  {
    tries: 'an expression of 2,000 readings, for each of 2,000 tolerances',
    code: 'too-many-values',
    files: () =>
      pack(
        {},
        {
          readings: map(1900, (n) => [
            `r${n}`,
            { measurand: 'Gap', quantity: 'length', unit: 'mm', plausible: ['1 mm', '9 mm'] },
          ]),
          derived: map(1900, (n) => [`d${n}`, { is: { '+': list(90, (m) => `r${m}`) } }]),
          steps: [{ step: 'look', do: 'Look.', read: 'r0' }],
        },
      ),
  },
  {
    tries: 'derived values, each of which is twice the one before',
    code: 'bad-expression',
    files: () =>
      pack(
        {},
        {
          readings: reading(),
          derived: map(60, (n) => [
            `d${n}`,
            {
              title: `D ${n}`,
              is: { '+': n === 0 ? ['gap', 'gap'] : [`d${n - 1}`, `d${n - 1}`] },
            },
          ]),
          tolerances: { limits: { of: 'd59', 'at-most': '5 mm', source: 'S' } },
          holds: { stop: { text: 'Stop here and ask.', release: [{ concession: 'technician' }] } },
          steps: [
            { step: 'look', do: 'Look.', read: 'gap', judge: 'limits', 'if-nonconforming': { hold: 'stop' } },
          ],
        },
      ),
  },
  {
    tries: 'an expression as deep as it can be',
    code: 'unused-name',
    files: () => {
      const inside = (depth: number): Json =>
        depth === 0 ? 'gap' : { '+': [inside(depth - 1), inside(depth - 1)] };
      return pack(
        {},
        {
          readings: reading(),
          derived: { d: { is: inside(12) } },
          steps: [{ step: 'look', do: 'Look.', read: 'gap' }],
        },
      );
    },
  },
  {
    tries: 'reworks inside reworks, each of 200 attempts',
    code: 'law-broken',
    files: () => {
      const inside = (depth: number): Json => ({
        step: `look-${depth}`,
        do: `Look ${depth}.`,
        observe: `seen-${depth}`,
        ...(depth === 0
          ? { changes: { lamp: ['on', 'off'] }, 'if-nonconforming': { hold: 'stop' } }
          : {
              'if-nonconforming': {
                rework: [inside(depth - 1)],
                'resume-at': `look-${depth}`,
                attempts: '200',
                exhausted: 'stop',
              },
            }),
      });
      return pack(
        { states: { lamp: { title: 'Lamp', is: ['on', 'off'], starts: 'on', ends: ['on', 'off'] } } },
        {
          observations: map(10, (n) => [`seen-${n}`, yesOrNo]),
          holds: { stop: { text: 'Stop here and ask.', release: [{ concession: 'technician' }] } },
          steps: [inside(9)],
        },
      );
    },
  },

  // Names, each of which is looked for among many.
  {
    tries: '1,900 unknown names among 1,900 that are like them',
    code: 'unknown-name',
    files: () =>
      pack(
        { equipment: Object.fromEntries(names(1900, 'a').map((name) => [name, { title: name }])) },
        {
          steps: list(1900, (n) => ({
            step: `s${n}`,
            do: `Do ${n}.`,
            with: list(20, (m) => `${'b'.repeat(40)}-${n}-${m}`),
          })),
        },
      ),
  },
  {
    tries: '400 parts, named in each of 400 steps',
    code: 'unused-name',
    exitCode: 0,
    files: () =>
      pack(
        {
          parts: Object.fromEntries(
            list(400, (n) => [
              `ring-${'abcdefghij'[n % 10]}-x${n}`,
              { title: `Ring ${n} of the ${'abcdefghij'[n % 7]} lamp`, per: 'bore' },
            ]),
          ),
          states: map(400, (n) => [
            `lamp-${'abcdefghij'[n % 10]}-x${n}`,
            { title: `Lamp ${n}`, per: 'bore', is: ['on', 'off'], starts: 'on', ends: 'on' },
          ]),
          variants: { one: { title: 'One', cylinders: '2' }, two: { title: 'Two', cylinders: '3' } },
          equipment: map(400, (n) => [`tool-${n}`, { title: `Tool ${n}` }]),
        },
        {
          steps: list(400, (n) => ({
            step: `s${n}`,
            do: long(`Lay the two rings of lamp ${n} beside the three tools and 4 `, 500),
          })),
        },
      ),
  },

  // Words that an expression which looks for them would go back and forth over.
  ...[
    ' ',
    '.',
    '1 mm ',
    '1 to ',
    '1 mm (2 in) ',
    'two rings each ',
    'after less ',
    'never be be ',
    '1 turn ',
    '- ',
    '(',
  ].map(
    (text): HostilePack => ({
      tries: `texts of ${JSON.stringify(text)} over and over`,
      code: 'same-law',
      // Signs that look like items of lists are counted before anything is read.
      files: () => prose(`a${long(text, 1990)}q`, text === '- ' ? 8 : 150),
    }),
  ),

  // What trials run.
  {
    tries: 'a trial that is like itself',
    verb: 'trial',
    code: 'FAIL',
    files: () =>
      pack(
        {},
        {},
        {
          'trials/t.yaml': {
            trial: 't',
            says: 'T.',
            procedure: 'job',
            variant: 'one',
            like: 't',
            expect: { outcome: 'closed' },
          },
        },
      ),
  },
  {
    tries: 'a trial that goes round a rework 9,999 times',
    verb: 'trial',
    code: 'FAIL',
    files: () =>
      pack(
        {},
        {
          observations: { seen: yesOrNo, found: yesOrNo },
          holds: {
            stop: {
              text: 'Stop here and ask.',
              release: [{ rework: [], 'resume-at': 'look', times: '200' }],
            },
          },
          steps: [
            {
              step: 'look',
              do: 'Look.',
              observe: 'seen',
              'if-nonconforming': {
                rework: [
                  {
                    step: 'again',
                    do: 'Again.',
                    observe: 'found',
                    'if-nonconforming': {
                      rework: [{ step: 'more', do: 'More.' }],
                      'resume-at': 'again',
                      attempts: '200',
                      exhausted: 'stop',
                    },
                  },
                ],
                'resume-at': 'look',
                attempts: '200',
                exhausted: 'stop',
              },
            },
          ],
        },
        {
          'trials/t.yaml': {
            trial: 't',
            says: 'T.',
            procedure: 'job',
            variant: 'one',
            answers: {
              persons: { technician: 'A' },
              observations: { seen: 'bad', found: 'bad' },
              releases: { stop: { by: 'rework' } },
            },
            expect: { outcome: 'closed' },
          },
        },
      ),
  },
  {
    tries: '100 trials of 100 steps',
    verb: 'trial',
    code: 'FAIL',
    files: () =>
      pack(
        {},
        { steps: list(100, (n) => ({ step: `s${n}`, do: `Do ${n}.` })) },
        {
          'trials/t.yaml': {
            trials: list(100, (n) => ({
              trial: `t${n}`,
              says: 'T.',
              procedure: 'job',
              variant: 'one',
              answers: { persons: { technician: 'A' } },
              expect: { outcome: 'held' },
            })),
          },
        },
      ),
  },
];

/** Forty choices that are remembered: 2^40 ways. */
export const choicesWithoutEnd = (): Readonly<Record<string, string>> =>
  pack(
    {
      states: map(40, (n) => [
        `s${n}`,
        { title: `S ${n}`, is: ['on', 'off'], starts: 'on', ends: ['on', 'off'] },
      ]),
    },
    {
      observations: map(40, (n) => [`seen-${n}`, { ...yesOrNo, conforming: ['good', 'bad'] }]),
      steps: [
        ...list(40, (n) => ({ step: `look-${n}`, do: `Look ${n}.`, observe: `seen-${n}` })),
        ...list(40, (n) => ({
          step: `turn-${n}`,
          do: `Turn ${n}.`,
          'only-if': { observed: { [`seen-${n}`]: 'bad' } },
          changes: { [`s${n}`]: ['on', 'off'] },
        })),
        ...list(40, (n) => ({
          step: `end-${n}`,
          do: `Do ${n}.`,
          'only-if': { state: { [`s${n}`]: 'off' } },
        })),
      ],
    },
  );
