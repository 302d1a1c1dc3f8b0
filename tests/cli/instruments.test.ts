import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readJob } from '@ferrule/records';
import { describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { measuringShop } from './measuring-pack.ts';
import { jobFileIn } from './scratch.ts';

/** A screen without its line breaks. */
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

const answers = (gauge: string, gap = '0.280 mm', pressure = '5.0 bar'): string =>
  `persons: { technician: technician A, lead: lead C }
instruments: { gap-gauge: ${gauge}, pressure-gauge: PG-1, torque-wrench: TW-1 }
readings: { gap: ${gap}, pressure: ${pressure} }
`;

type Shop = ReturnType<typeof measuringShop>;
const call = ({ pack }: Shop, ...more: readonly string[]): readonly string[] => [
  'run',
  pack,
  '--procedure',
  'measure',
  '--variant',
  'one',
  ...more,
];
const scripted = (shop: Shop, ...more: readonly string[]) =>
  ferrule(call(shop, '--answers', shop.answers, '--instruments', shop.list, ...more));

const factsIn = (store: string) => {
  const read = readJob(jobFileIn(store));
  if (read.fault !== undefined) throw new Error(read.fault.message);
  return read.facts.map((one) => one.fact);
};

describe('the same reading', () => {
  /* U = 2 √(d²/12 + a²/3) with d = 0.001 mm (JCGM 100:2008, F.2.2.1 and 4.3.7): 0.00238 mm for a = 0.002 mm, 0.0358 mm for
     a = 0.031 mm, each rounded up to two digits; accepted is 0.20 mm + U to 0.30 mm − U. Computed. */
  it('by a fine instrument of the list conforms, and its line says no more than U', () => {
    const shop = measuringShop({ answers: answers('GG-1') });
    const { exitCode, stdout, stderr } = scripted(shop, '--jobs', shop.store);
    expect(stderr).toBe('');
    expect(stdout).toMatch(
      /CONFORMING: gap limits: 0\.28 mm ± 0\.0024 mm; limits\n +0\.20 mm to 0\.30 mm; 0\.02 mm to spare\n +5 {2}/,
    );
    expect(stdout).not.toContain('Note: ');
    expect(stdout).toMatch(/^gap limits +0\.28 mm {2}0\.0024 mm; .* conforming +0\.02 mm {2}GG-1$/m);
    expect(exitCode).toBe(0);
    expect(factsIn(shop.store)[0]).toMatchObject({
      instruments: [
        { kind: 'gap-gauge', identity: 'GG-1', due: '2099-12-31', maximumPermissibleError: '0.002 mm' },
        { identity: 'PG-1' },
        { identity: 'TW-1', maximumPermissibleError: '4 % of indication' },
      ],
    });
  });

  it('by a coarse one is inconclusive: the log and the record say why, and what would do', () => {
    const shop = measuringShop({ answers: answers('GG-2') });
    const { exitCode, stdout } = scripted(shop, '--jobs', shop.store);
    const screen = flat(stdout);
    expect(screen).toContain(
      'INCONCLUSIVE: gap limits: 0.28 mm ± 0.036 mm; limits 0.20 mm to 0.30 mm; the instrument is too coarse for these limits; 86.8 % likely to lie inside; rule guarded acceptance 1 × U accepts 0.2359 mm to 0.2641 mm',
    );
    expect(stdout).toMatch(
      /^ {14}0\.20 mm +\[\.+\(\.+=+\)=+#=+\]=+ +0\.30 mm\n {14}\[ \] limits, \( \) accepted/m,
    );
    expect(screen).toContain(
      'Too close to the limit for GG-2, good to ± 0.036 mm here: read again with an instrument that is good to ± ',
    );
    expect(screen).toContain('Decided by guarded acceptance 1 × U, which accepts 0.2359 mm to 0.2641 mm.');
    expect(exitCode).toBe(1);
    expect(factsIn(shop.store).find((one) => one.kind === 'judged')).toMatchObject({
      verdict: {
        verdict: 'inconclusive',
        because: 'instrument-too-coarse',
        assessment: { expandedUncertainty: '0.036 mm', coverageFactor: '2', probability: '86.8 %' },
      },
    });
  });

  it('says it as JSON too', () => {
    const shop = measuringShop({ answers: answers('GG-2') });
    const { verdicts } = JSON.parse(scripted(shop, '--format', 'json').stdout);
    expect(verdicts).toEqual([
      expect.objectContaining({
        tolerance: 'gap-limits',
        verdict: 'inconclusive',
        because: 'instrument-too-coarse',
        uncertainty: '0.036 mm',
        probability: '86.8 %',
        rule: 'guarded-acceptance 1 × U',
        acceptance: '0.2359 mm to 0.2641 mm',
        advice: expect.stringContaining('read again with'),
      }),
    ]);
  });

  it('warns by the simple rule where the verdict is likelier wrong than one in ten, and nowhere else', () => {
    // 2.1 bar at a limit of 2.0 bar, u = √(0.1²/12 + 0.3²/3) bar = 0.1756 bar: Φ(0.1/0.1756) = 0.7154. Computed.
    const shop = measuringShop({ answers: answers('GG-1', '0.250 mm', '2.1 bar') });
    const { exitCode, stdout } = scripted(shop);
    expect(flat(stdout)).toContain(
      '2.1 bar ± 0.36 bar; limits at least 2.0 bar; 0.1 bar to spare; 71.5 % likely to lie inside',
    );
    expect(flat(stdout)).toContain(
      'it lies inside with a probability of 71.5 % only. To be sure, read again',
    );
    // The job goes on from a verdict that conforms: how to read again all the same is said at once.
    expect(flat(stdout)).toMatch(/To read again, strike \d+ REASON first\./);
    expect(stdout.match(/^ +0\.20 mm +\[/gm)).toBeNull();
    expect(exitCode).toBe(0);
  });
});

describe('before the work', () => {
  it('an instrument that cannot judge a tolerance is named, once, with its limits', () => {
    const shop = measuringShop({ answers: answers('GG-3') });
    const { stdout } = scripted(shop);
    expect(flat(stdout)).toContain(
      'Note: Gap gauge GG-3 cannot judge "gap limits". It is good to ± 0.058 mm there, and the limits are 0.20 mm to 0.30 mm. Take a finer one where there is one.',
    );
    expect(stdout.match(/Note: /g)).toHaveLength(1);
  });

  it('one of which no error is stated is named where the rule asks for one', () => {
    const list =
      'instruments:\n  GG-1: { kind: gap-gauge, due: 2099-12-31 }\n  PG-1: { kind: pressure-gauge }\n  TW-1: { kind: torque-wrench, due: 2099-12-31 }\n';
    const shop = measuringShop({ answers: answers('GG-1'), list });
    const { stdout } = scripted(shop);
    expect(flat(stdout)).toContain('Note: Gap gauge GG-1 states no error, and "gap limits" asks for one.');
    expect(flat(stdout)).toContain('its uncertainty is not known');
    expect(flat(stdout)).toContain('It is not stated how far GG-1 may be off: read again with an instrument');
  });
});

describe('the list of instruments', () => {
  const set = ['technician A', 'lead C'];

  it('is offered by number: in date before overdue, what suffices and is finest first', () => {
    const shop = measuringShop();
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), {
      lines: [...set, '1', 'pg-1', 'TW-1', 'instruments', 'quit', 'quit'],
    });
    expect(stdout).toContain(
      [
        '    1  GG-1 the fine one, until 2099-12-31',
        '    2  GG-2, until 2099-12-31; coarse for "gap limits"',
        '    3  GG-3, until 2099-12-31; cannot judge "gap limits"',
        '    4  GG-0, OVERDUE since 2020-01-31',
        'Gap gauge: 1 to 4, or its number, calibrated until > 1',
        '    1  PG-1',
        'Pressure gauge: 1, or its number, or none > pg-1',
        '    1  TW-1, until 2099-12-31',
        'Torque wrench: 1, or its number, calibrated until > TW-1',
      ].join('\n'),
    );
    expect(stdout).toMatch(/^ {2}Gap gauge GG-1, calibrated until 2099-12-31 \(gap-gauge\)$/m);
    expect(stdout).toMatch(/^ {2}Pressure gauge PG-1 \(pressure-gauge\)$/m);
  });

  it('need not have what is used: any other is typed as its label says, and a date that is typed goes before that of the list', () => {
    const shop = measuringShop();
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), {
      lines: [...set, 'GG-9', 'GG-9 2098-01-01', 'none', 'TW-1 2097-06-30', 'instruments', 'quit', 'quit'],
    });
    expect(stdout).toContain('No last day of its calibration was typed');
    expect(flat(stdout)).toContain('Of those in the list, the number before them or their own is enough.');
    expect(stdout).toMatch(/^ {2}Gap gauge GG-9, calibrated until 2098-01-01 \(gap-gauge\)$/m);
    expect(stdout).toMatch(/^ {2}Torque wrench TW-1, calibrated until 2097-06-30 \(torque-wrench\)$/m);
  });

  it('gives an instrument in the middle of the job, and the advice names one that would do', () => {
    const shop = measuringShop();
    const lines = [
      ...set,
      'GG-2',
      '1',
      '1',
      'done',
      '0.280',
      'equip',
      'equip gg-1',
      'strike 3 Read again by a finer one.',
      '0.280',
      'quit',
    ];
    const { stdout } = ferrule(call(shop, '--instruments', shop.list, '--jobs', shop.store), { lines });
    expect(flat(stdout)).toContain(
      'Too close to the limit for GG-2, good to ± 0.036 mm here: read again with GG-1. equip GG-1 takes it into use.',
    );
    expect(flat(stdout)).toContain(
      'equip NUMBER takes one of these. Of another one, say what it is: equip KIND NUMBER DATE.',
    );
    expect(stdout).toMatch(/^ {2}\[\d+\] Instrument: Gap gauge GG-1, calibrated until 2099-12-31$/m);
    expect(stdout).toMatch(/^ {2}\[\d+\] CONFORMING: gap limits: 0\.28 mm ± 0\.0024 mm/m);
    expect(factsIn(shop.store).find((one) => one.kind === 'equipped')).toMatchObject({
      instrument: { identity: 'GG-1', maximumPermissibleError: '0.002 mm' },
    });
  });

  it('that the page about the terminal names can be used with the packs of the checkout', () => {
    const list = 'docs/examples/workshop-instruments.yaml';
    for (const [pack, procedure] of [
      ['specs/valve-clearance/1.0.0', 'set-clearances'],
      ['specs/marram-unit-pumps/1.0.0', 'install-and-synchronise'],
    ] as const) {
      const words = [
        'run',
        pack,
        '--procedure',
        procedure,
        '--variant',
        'marram-four',
        '--instruments',
        list,
      ];
      const { exitCode, stdout, stderr } = ferrule(words, {
        lines: ['technician A', 'technician B', 'lead C', 'quit'],
      });
      expect(stderr).toBe('');
      expect(exitCode).toBe(0);
      expect(stdout).toContain('The job was not started. Nothing was recorded.');
    }
    expect(readFileSync(join(root, list), 'utf8')).toMatch(/Demonstration data/);
  });
});

describe('a faulty list', () => {
  const cases: readonly (readonly [says: string, list: string, expected: RegExp])[] = [
    ['no list at all', 'other: {}\n', /instruments\.yaml:1:1 error unknown-key The key other/],
    [
      'a list without instruments',
      'x-note: nothing\n',
      /error missing-key The key instruments is missing here\.\n {4}Write instruments:/,
    ],
    [
      'an unknown key',
      'instruments:\n  GG-1: { kind: gap-gauge, resolutoin: 0.001 mm }\n',
      /instruments\.yaml:2:28 error unknown-key The key resolutoin is not known here\.\n {4}Did you mean resolution\?/,
    ],
    [
      'no kind',
      'instruments:\n  GG-1: { due: 2099-12-31 }\n',
      /:2:9 error missing-key The key kind is missing here\.\n {4}Say which kind/,
    ],
    [
      'a quantity of another kind',
      'instruments:\n  GG-1: { kind: gap-gauge, range: [0 bar, 1 mm] }\n',
      /:2:36 error wrong-quantity "0 bar" is no length\.\n {4}GG-1 measures length: write the value with its unit\./,
    ],
    [
      'a range that is reversed',
      'instruments:\n  GG-1: { kind: gap-gauge, range: [1 mm, 0 mm] }\n',
      /error reversed-pair The lowest value must stand before the highest\./,
    ],
    [
      'an error that is none',
      'instruments:\n  GG-1: { kind: gap-gauge, maximum-permissible-error: 2 % }\n',
      /error wrong-quantity "2 %" is no error of length\.\n {4}Write a quantity above zero, or a share/,
    ],
    [
      'a day that there is not',
      'instruments:\n  GG-1: { kind: gap-gauge, due: 2099-02-31 }\n',
      /error wrong-value There is no day 2099-02-31\./,
    ],
    [
      'a class of the wrong type',
      'instruments:\n  TW-1: { kind: torque-wrench, torque-class: { type: I, class: G } }\n',
      /error wrong-form This is no class of a torque tool\.\n {4}Write type and class as ISO 6789 names them/,
    ],
    [
      'a class beside an error',
      'instruments:\n  TW-1: { kind: torque-wrench, torque-class: { type: II, class: A }, maximum-permissible-error: 4 % of indication }\n',
      /error wrong-form A class and a maximum permissible error stand side by side\./,
    ],
    [
      'a class of what measures no torque',
      'instruments:\n  GG-1: { kind: gap-gauge, torque-class: { type: II, class: A } }\n',
      /error wrong-quantity Torque tools have a class, and this measures length\./,
    ],
    [
      'a certificate without its factor',
      'instruments:\n  GG-1: { kind: gap-gauge, calibration: { expanded-uncertainty: 0.002 mm } }\n',
      /error missing-key The key coverage-factor is missing here\./,
    ],
    [
      'one number twice',
      'instruments:\n  GG-1: { kind: gap-gauge }\n  GG-1: { kind: gap-gauge }\n',
      /:3:3 error duplicate-key/,
    ],
    ['no YAML', 'instruments: [\n', /instruments\.yaml:\d+:\d+ error yaml-syntax A list or mapping/],
  ];
  it.each(cases)('%s is told with place and remedy, and no job begins', (_, list, expected) => {
    const shop = measuringShop({ list });
    const { exitCode, stdout } = ferrule(call(shop, '--instruments', shop.list, '--jobs', shop.store), {
      lines: ['technician A'],
    });
    expect(stdout).toMatch(expected);
    expect(stdout).not.toContain('who?');
    expect(exitCode).toBe(1);
  });

  it('is a fault of the call when it cannot be read', () => {
    const shop = measuringShop();
    const { exitCode, stderr } = ferrule(call(shop, '--instruments', `${shop.list}.gone`));
    expect(stderr).toMatch(
      /^ferrule: the instruments \S+\.gone cannot be read \(ENOENT\)\. Nothing of this name is there\. See that it is spelt right, or name another one\.$/m,
    );
    expect(exitCode).toBe(2);
  });

  it('with a kind that is named nearly as one of the pack is told, and the job goes on; one of another trade is left alone', () => {
    const list = 'instruments:\n  GG-1: { kind: gap-guage }\n  WB-1: { kind: weighbridge }\n';
    const shop = measuringShop({ list });
    const { exitCode, stdout, stderr } = ferrule(call(shop, '--instruments', shop.list), { lines: ['quit'] });
    expect(stderr).toMatch(
      /instruments\.yaml:2:17 warning unknown-name The pack has no kind of instrument gap-guage\.\n {4}Did you mean gap-gauge\?/,
    );
    expect(stderr).not.toContain('weighbridge');
    expect(stdout).toContain('Technician: who? > quit');
    expect(exitCode).toBe(0);
  });
});

describe('a file of answers that names instruments by their number', () => {
  it.each([
    [
      'GG-7',
      /answers\.yaml:2:27 error wrong-value GG-7 is not in the list of instruments\.\n {4}(?:Add it to the list|Did you mean)/,
    ],
    [
      'TW-1',
      /error wrong-value TW-1 is a torque-wrench in the list of instruments, and a gap-gauge is asked for here\.\n {4}Name one of that kind: GG-3, GG-2, GG-0, GG-1\./,
    ],
  ])('%s is told when the list has none such', (gauge, expected) => {
    const { exitCode, stdout } = scripted(measuringShop({ answers: answers(gauge) }));
    expect(stdout).toMatch(expected);
    expect(exitCode).toBe(1);
  });

  it('asks for the list when there is none', () => {
    const shop = measuringShop({ answers: answers('GG-1') });
    const { exitCode, stdout } = ferrule(call(shop, '--answers', shop.answers));
    expect(stdout).toMatch(
      /error wrong-value Nothing says what GG-1 is\.\n {4}Write \{ identity: GG-1, due: 2027-01-31 \}, or name the list/,
    );
    expect(exitCode).toBe(1);
  });

  it('may say more of one in an object, and that goes before the list', () => {
    const shop = measuringShop({
      answers: answers('{ identity: GG-1, maximum-permissible-error: 0.031 mm }'),
    });
    const { stdout } = scripted(shop);
    expect(flat(stdout)).toContain('INCONCLUSIVE: gap limits: 0.28 mm ± 0.036 mm');
  });
});

describe('an instrument that is refused', () => {
  const set = ['technician A', 'lead C'];

  it('may be allowed by whom the pack lets, with the reason, and the record marks what was read so', () => {
    const shop = measuringShop();
    const lines = [
      ...set,
      'GG-0',
      '1',
      '1',
      'done',
      'allow It is new.',
      '0.250',
      'allow It is new.',
      'who lead C',
      'allow',
      'allow Compared with a gauge block today.',
      '0.250',
      'done',
      '5.0',
      'done',
      'close',
    ];
    const { exitCode, stdout } = ferrule(call(shop, '--instruments', shop.list, '--jobs', shop.store), {
      lines,
    });
    const screen = flat(stdout);
    expect(screen).toContain('There is nothing to allow: no instrument was just refused');
    expect(screen).toContain('Not taken: The calibration of GG-0 ran out on 2020-01-31.');
    expect(screen).toContain(
      'To allow GG-0 in this job, lead C (Lead) types who and the name, then allow and the reason.',
    );
    expect(screen).toContain('who lets lead C (Lead) act.');
    expect(screen).toContain(
      'Allowed: GG-0, although its calibration has run out: Compared with a gauge block today. technician A acts again. Now type the value again.',
    );
    expect(stdout).toMatch(/^gap limits +0\.25 mm .* conforming +0\.05 mm {2}GG-0 !$/m);
    expect(screen).toMatch(
      /! GG-0 was used although its calibration has run out: allowed by lead C, fact \d+: Compared with a gauge block today\./,
    );
    expect(exitCode).toBe(0);
    const facts = factsIn(shop.store);
    expect(facts.filter((one) => one.kind === 'allowed')).toEqual([
      {
        kind: 'allowed',
        instrument: 'GG-0',
        because: 'instrument-overdue',
        reason: 'Compared with a gauge block today.',
      },
    ]);
    expect(facts.at(-1)).toMatchObject({ kind: 'closed', finished: true });
  });

  it('does not take its reading from who allowed it', () => {
    const shop = measuringShop();
    const lines = [
      ...set,
      'GG-0',
      '1',
      '1',
      'done',
      '0.250',
      'who lead C',
      'allow I know it.',
      'who lead C',
      '0.250',
      'quit',
      'quit',
    ];
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), { lines });
    expect(flat(stdout)).toContain('lead C allowed GG-0, and who allows an instrument does not use it.');
  });

  it('for a value beyond its range is offered the same way', () => {
    const shop = measuringShop();
    const lines = [
      ...set,
      'GG-1',
      '1',
      '1',
      'done',
      '1.500',
      'who lead C',
      'allow The scale goes on.',
      '1.500',
      'quit',
      'quit',
    ];
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), { lines });
    const screen = flat(stdout);
    expect(screen).toContain('1.500 mm is beyond the range of GG-1, 0 mm to 1 mm.');
    expect(screen).toContain('Allowed: GG-1, beyond its range: The scale goes on.');
    expect(screen).toContain('Gap: 1.500 mm, with GG-1');
  });

  it('is offered to nobody where the pack names nobody', () => {
    const shop = measuringShop({
      pack: (text) => text.replace('    if-beyond-range: { concession: lead }\n', ''),
    });
    const lines = [...set, 'GG-1', '1', '1', 'done', '1.500', 'allow It will do.', 'quit', 'quit'];
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), { lines });
    expect(flat(stdout)).not.toContain('To allow GG-1');
    expect(flat(stdout)).toContain('There is nothing to allow');
  });
});

describe('which jobs an instrument was used in', () => {
  const storeOf = (): { readonly shop: Shop; readonly store: string } => {
    const shop = measuringShop();
    for (const gauge of ['GG-1', 'GG-2']) {
      writeFileSync(shop.answers, answers(gauge));
      scripted(shop, '--jobs', shop.store);
    }
    return { shop, store: shop.store };
  };

  it('is said with facts, values, verdicts, and the instrument as it was then', () => {
    const { store } = storeOf();
    const fine = ferrule(['jobs', 'used', store, 'GG-1']);
    expect(fine.stdout).toMatch(/^\S+-measure-\S+: measure, one, measuring 1\.0\.0$/m);
    expect(flat(fine.stdout)).toMatch(
      /\[1\] \S+ \d\d:\d\d named as gap-gauge, calibrated until 2099-12-31, may be off by 0\.002 mm \(technician A\) \[3\] \S+ \d\d:\d\d read gap: 0\.280 mm; conforming gap limits \(technician A\)/,
    );
    expect(fine.stdout).toMatch(/^GG-1 was used in 1 job of /m);
    expect(fine.exitCode).toBe(0);
    const coarse = ferrule(['jobs', 'used', store, 'GG-2']);
    expect(flat(coarse.stdout)).toContain('measuring 1.0.0; not closed');
    expect(flat(coarse.stdout)).toContain('read gap: 0.280 mm; INCONCLUSIVE gap limits');
    const wrench = ferrule(['jobs', 'used', store, 'TW-1']);
    expect(flat(wrench.stdout)).toContain('tightened at cover, set to 40.0 N·m (technician A)');
    expect(wrench.stdout).toMatch(/^TW-1 was used in 2 jobs of /m);
  });

  it('is said of some days, and as rows', () => {
    const { store } = storeOf();
    const late = ferrule(['jobs', 'used', store, 'GG-1', '--from', '2099-01-01']);
    expect(late.stdout).toMatch(/^GG-1 was used in no job of .* from 2099-01-01\.$/m);
    const all = ferrule(['jobs', 'used', store, 'GG-1', '--from', '2020-01-01', '--until', '2099-01-01']);
    expect(flat(all.stdout)).toMatch(/GG-1 was used in 1 job of .* from 2020-01-01 until 2099-01-01\./);
    const rows = ferrule(['jobs', 'used', store, 'GG-1', '--format', 'csv']).stdout.split('\n');
    expect(rows[0]).toBe('job,fact,time,by,use,step,entry,value,verdicts,struck-by');
    expect(rows.slice(1).join('\n')).toMatch(
      /,3,"[^"]*","technician A","reading","gap","gap","0\.280 mm","gap-limits conforming",/,
    );
  });

  it('is said as JSON', () => {
    const { store } = storeOf();
    const { exitCode, stdout } = ferrule(['jobs', 'used', store, 'GG-2', '--format', 'json']);
    expect(JSON.parse(stdout)).toMatchObject({
      used: 'GG-2',
      jobs: [
        {
          header: { procedure: 'measure', variant: 'one' },
          isClosed: false,
          uses: [
            { seq: 1, what: 'named' },
            {
              seq: 3,
              what: 'reading',
              step: 'gap',
              entry: 'gap',
              value: '0.280 mm',
              verdicts: [{ of: 'gap-limits', verdict: 'inconclusive', seq: 4 }],
              instrument: { identity: 'GG-2', due: '2099-12-31', maximumPermissibleError: '0.031 mm' },
            },
          ],
        },
      ],
    });
    expect(exitCode).toBe(0);
  });

  it('says of a verdict that what it rests on was struck, and so does the log of the job', () => {
    const shop = measuringShop();
    const lines = [
      'technician A',
      'lead C',
      'GG-1',
      '1',
      '1',
      'done',
      '0.280',
      'strike 3 Misread.',
      'facts all',
      'quit',
    ];
    const { stdout: log } = ferrule(call(shop, '--instruments', shop.list, '--jobs', shop.store), { lines });
    expect(flat(log)).toMatch(/3 \d\d:\d\d technician A STRUCK by fact 5: Gap: 0\.280 mm/);
    expect(flat(log)).toMatch(/4 \d\d:\d\d technician A STRUCK by fact 5: CONFORMING: Gap limits/i);
    const { stdout } = ferrule(['jobs', 'used', shop.store, 'GG-1']);
    expect(flat(stdout)).toContain('read gap: 0.280 mm; conforming gap limits, struck; STRUCK by fact 5');
    const json = ferrule(['jobs', 'used', shop.store, 'GG-1', '--format', 'json']);
    expect(JSON.parse(json.stdout).jobs[0].uses.at(-1)).toMatchObject({
      seq: 3,
      struckBy: 5,
      verdicts: [{ of: 'gap-limits', verdict: 'conforming', seq: 4, struckBy: 5 }],
    });
  });

  it('is none for a number that nobody typed, and the one that was meant is named', () => {
    const { store } = storeOf();
    const { exitCode, stdout } = ferrule(['jobs', 'used', store, 'gg-2']);
    expect(stdout).toMatch(/^gg-2 was used in no job of .*\. Did you mean GG-2\?$/m);
    expect(exitCode).toBe(0);
  });

  it('names a file that cannot be relied on, and goes on with the others', () => {
    const { store } = storeOf();
    writeFileSync(join(store, '2020-01-01-broken-0000.jsonl'), 'nothing\n');
    const { exitCode, stdout, stderr } = ferrule(['jobs', 'used', store, 'GG-1']);
    expect(stderr).toMatch(
      /^ferrule: 2020-01-01-broken-0000: Line 1: it is not JSON\. Put back a copy from before it was changed/m,
    );
    expect(stdout).toMatch(/^GG-1 was used in 1 job of /m);
    expect(exitCode).toBe(1);
  });

  it('needs a store and an instrument, and teaches how to ask', () => {
    const { store } = measuringShop();
    expect(ferrule(['jobs', 'used', store, 'GG-1'])).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/there is no folder/),
    });
    expect(ferrule(['jobs', 'used', 'package.json', 'GG-1']).exitCode).toBe(2);
    expect(ferrule(['jobs', 'used', store])).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/IDENTITY/),
    });
    const help = ferrule(['jobs', '--help']);
    expect(flat(help.stdout)).toContain('When a calibration finds that a wrench or an indicator was off');
    expect(help.exitCode).toBe(0);
  });
});

describe('what is typed of an instrument', () => {
  const set = ['technician A', 'lead C'];
  const screenOf = (shop: Shop, lines: readonly string[]) => {
    const { stdout } = ferrule(call(shop, '--instruments', shop.list, '--jobs', shop.store), { lines });
    return flat(stdout);
  };

  it('against the list is noted, on the screen and in the record', () => {
    const shop = measuringShop();
    const screen = screenOf(shop, [...set, 'GG-0 2099-01-01', '1', '1', 'quit']);
    const note =
      "GG-0: the shop's list says that its calibration holds until 2020-01-31; 2099-01-01 was typed.";
    expect(screen).toContain(`Note: ${note}`);
    expect(factsIn(shop.store)).toContainEqual({ kind: 'noted', text: note });
    const later = measuringShop();
    screenOf(later, [...set, 'GG-1', '1', '1', 'equip gap-gauge GG-0 2099-01-01', 'quit']);
    expect(factsIn(later.store)).toContainEqual({ kind: 'noted', text: note });
    expect(factsIn(later.store).filter((one) => one.kind === 'noted')).toHaveLength(1);
  });

  it('may not be a word that leads on, and none is said plainly', () => {
    const shop = measuringShop();
    const screen = screenOf(shop, [...set, 'none', 'done 2099-01-01', 'GG-1', '1', '1', 'quit']);
    expect(screen).toContain('None is no number: this is not done without a gap gauge.');
    expect(screen).toContain('done is a word that is typed here, and no number of an instrument.');
    expect(factsIn(shop.store)[0]).toMatchObject({ instruments: [{ identity: 'GG-1' }, {}, {}] });
  });

  it('by its place is not asked for where a place is the number of an instrument', () => {
    const shop = measuringShop({
      list: `instruments:
  GG-1: { kind: gap-gauge, due: 2099-12-31, maximum-permissible-error: 0.002 mm }
  '1': { kind: gap-gauge, due: 2099-12-31, maximum-permissible-error: 0.050 mm }
  TW-1: { kind: torque-wrench, due: 2099-12-31 }
`,
    });
    const screen = screenOf(shop, [...set, '2', '1', 'PG-1', '1', 'quit']);
    expect(screen).not.toContain('Gap gauge: 1 to 2, or its number');
    expect(screen).toContain('No last day of its calibration was typed');
    expect(factsIn(shop.store)[0]).toMatchObject({
      instruments: [{ identity: '1' }, {}, { identity: 'TW-1' }],
    });
  });

  it('is none in answers as well where it may be none', () => {
    const shop = measuringShop({
      answers: answers('GG-1').replace('pressure-gauge: PG-1', 'pressure-gauge: { identity: none }'),
    });
    const { stdout } = scripted(shop, '--jobs', shop.store);
    expect(stdout).not.toMatch(/by none|none !/);
    expect(factsIn(shop.store)[0]).toMatchObject({
      instruments: [{ identity: 'GG-1' }, { identity: 'TW-1' }],
    });
  });
});

describe('a reading that its instrument cannot show', () => {
  it('is taken, with a note', () => {
    const shop = measuringShop({ answers: answers('GG-1', '0.2805 mm') });
    const { stdout } = scripted(shop);
    expect(flat(stdout)).toContain(
      'Note: GG-1 shows steps of 0.001 mm, and 0.2805 mm lies between two of them. It counts as it was typed.',
    );
    const fine = measuringShop({ answers: answers('GG-1') });
    expect(flat(scripted(fine).stdout)).not.toContain('lies between two of them');
  });
});

describe('a reading of several indications, of which the first was allowed beyond the range', () => {
  it('is marked for it', () => {
    const shop = measuringShop({
      pack: (text) =>
        text
          .replace('plausible: [0 mm, 2 mm]', 'plausible: [0 mm, 2 mm], repeats: { times: 3 }')
          .replace(' rule: guarded-acceptance,', '')
          .replace(', if-inconclusive: { hold: ask-the-lead }', ''),
    });
    const lines = [
      ...['technician A', 'lead C', 'GG-1', '1', '1', 'done', '1.500', 'who lead C'],
      ...[
        'allow The scale goes on.',
        '1.500',
        '0.250',
        '0.250',
        'who lead C',
        'release concession It is well.',
      ],
      ...['done', '5.0', 'done', 'close'],
    ];
    const { stdout } = ferrule(call(shop, '--instruments', shop.list), { lines });
    expect(flat(stdout)).toMatch(
      /! GG-1 was used beyond its range: allowed by lead C, fact \d+: The scale goes on\./,
    );
  });
});

describe('check --gauges with one limit', () => {
  it('says where no plausible value proves anything', () => {
    // U of the pressure gauge is 0.36 bar: 9.9 bar and that is more than the 10 bar that are plausible.
    for (const [limit, says] of [
      ['9.9 bar', 'one limit, and no plausible value proves anything'],
      ['2.0 bar', 'from 2.36 bar'],
    ] as const) {
      const { pack } = measuringShop({
        pack: (text) => text.replace('at-least: 2.0 bar', `at-least: ${limit}`),
      });
      expect(flat(ferrule(['check', pack, '--gauges']).stdout).replaceAll('\u00a0', ' ')).toContain(says);
    }
  });
});
