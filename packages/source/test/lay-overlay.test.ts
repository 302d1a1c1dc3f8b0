import { type Amount, findUnit, Report, resolve, writeAmount } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { bundleOf, type PackReading, readBundle, readPackFromFiles } from '@ferrule/source';
import { describe, expect, it, test } from 'vitest';
import { alone, laying, opening, packDigest, packText } from './overlaid-pack.ts';

type Document = {
  readonly procedures: {
    readonly 'set-gap': {
      readonly preliminary: Record<string, readonly string[]>;
      readonly readings: Record<string, Record<string, unknown>>;
      readonly tolerances: Record<string, Record<string, unknown>>;
      readonly steps: readonly Record<string, unknown>[];
    };
  };
} & Record<string, Record<string, unknown>>;

/** The laid document, whose names are all there. */
function laid(written: string) {
  const reading = laying(written);
  expect(reading.diagnostics).toEqual([]);
  const { pack, diagnostics } = validate(reading.document);
  expect(diagnostics).toEqual([]);
  const report = new Report();
  const plan = pack && resolve(pack, { procedure: 'set-gap', variant: 'four' }, report).plan;
  expect(report.diagnostics).toEqual([]);
  if (plan === undefined) throw new Error('no plan');
  const document = reading.document as unknown as Document;
  return { reading, document, job: document.procedures['set-gap'], plan };
}

/** What is said of an overlay: code, the text that is marked, message and remedy. */
function said(reading: PackReading, overlay: string) {
  const lines = overlay.split('\n');
  return reading.diagnostics.map(({ code, severity, span, message, remedy }) => {
    expect(severity).toBe('error');
    expect(span?.file).toBe('overlay/overlay.yaml');
    return {
      code,
      marks: lines[(span?.line ?? 0) - 1]?.slice((span?.column ?? 1) - 1, (span?.endColumn ?? 1) - 1),
      says: `${message} ${remedy}`,
    };
  });
}

describe('what an overlay adds', () => {
  it('leaves a pack as it is when it adds nothing, and says which overlay it was', () => {
    const { document } = laid('').reading;
    const { overlaid, ...rest } = document;
    expect(rest).toEqual(alone.document);
    expect(overlaid).toEqual({
      overlay: 'annexe',
      revision: '2.0.0',
      title: 'What the annexe adds',
      digest: overlayDigest(''),
      over: packDigest,
    });
  });

  it('is named in every plan, with both digests', () => {
    expect(laid('').plan.pack.overlay).toEqual({
      ...{ id: 'annexe', revision: '2.0.0', title: 'What the annexe adds' },
      ...{ digest: overlayDigest(''), over: packDigest },
    });
  });

  it('makes another bundle, which is read like any', () => {
    const { text, digest } = bundleOf(laid('').reading.document);
    expect(digest).not.toBe(packDigest);
    const again = readBundle(text);
    expect(validate(again.document).diagnostics).toEqual([]);
  });

  it('declares further names', () => {
    const { document } = laid(
      'roles: { keeper: { title: Keeper } }\nconditions: { dry: { text: It is dry. } }\nhazards: { wet: { signal: warning, text: Wet. } }\nequipment: { mat: { title: Mat } }\nsupplies: { rag: { title: Rag } }\n',
    );
    expect(Object.keys(document['roles'] ?? {})).toEqual(['technician', 'lead', 'keeper']);
    for (const [section, name] of [
      ['conditions', 'dry'],
      ['hazards', 'wet'],
      ['equipment', 'mat'],
      ['supplies', 'rag'],
    ])
      expect(document[section ?? '']).toHaveProperty(name ?? '');
  });

  it('asks for more before the start, each thing once', () => {
    const { job } = laid(
      'equipment: { mat: { title: Mat } }\npreliminary:\n  - { procedure: set-gap, conditions: [engine-cold], persons: [lead], equipment: [vice, mat], supplies: [oil], spares: [plug], safety: [hot-oil] }\n',
    );
    expect(job.preliminary).toEqual({
      conditions: ['engine-cold'],
      persons: ['technician', 'lead'],
      equipment: ['dial', 'vice', 'mat'],
      supplies: ['oil'],
      spares: ['plug'],
      safety: ['hot-oil'],
    });
  });

  it('shows further hazards at a step, and keeps those that are there', () => {
    const { job } = laid(
      'hazards: { wet: { signal: warning, text: Wet. } }\ncautions: [{ step: set-gap/low, hazards: [wet] }, { step: set-gap/measure, hazards: [wet] }]\n',
    );
    const hazards = (step: string) => job.steps.find((one) => one['step'] === step)?.['hazards'];
    expect([hazards('low'), hazards('measure')]).toEqual([['hot-oil', 'wet'], ['wet']]);
  });

  it('has a witness look, also at a step in a block and in a part', () => {
    const { plan } = laid(
      'witnesses: [{ step: set-gap/measure, witness: lead }, { step: set-gap/close, witness: lead }, { step: part/wipe, witness: lead }]\n',
    );
    const witnessed = plan.nodes.flatMap((node) =>
      node.node === 'step' && node.witness !== undefined ? [node.id] : [],
    );
    expect(witnessed).toEqual(['measure', 'sign', 'close', 'wipe']);
  });

  it('waits for another person before a step, without a concession', () => {
    const { document, job } = laid(
      'hold-points: [{ before: set-gap/aim, hold: look, text: Look at it., witness: lead }]\n',
    );
    expect(document['holds']?.['look']).toEqual({
      ...{ text: 'Look at it.', safety: 'yes', release: [{ witness: 'lead' }] },
    });
    expect(job.steps[1]).toEqual({ hold: 'look' });
    expect(job.steps[2]?.['step']).toBe('aim');
  });

  it('waits for nobody before a step that is passed over', () => {
    const { job } = laid(
      'hold-points: [{ before: set-gap/fifth, hold: look, text: Look at it., witness: lead }]\n',
    );
    expect(job.steps.find((one) => one['hold'] === 'look')).toEqual({
      hold: 'look',
      'only-if': { variant: ['five'] },
    });
  });

  it.each([
    ['both-sides', 'between: [0.25 mm, 0.35 mm]', '0.250 to 0.350'],
    ['both-sides', 'at-least: 0.25 mm', '0.250 to 0.400'],
    ['both-sides', 'at-most: 0.35 mm', '0.200 to 0.350'],
    ['both-sides', 'between: [0.20 mm, 0.35 mm]', '0.200 to 0.350'],
    ['both-sides', 'at-most: 0.012 in', '0.200 to 0.305'],
    ['at-its-aim', 'between: [0.25 mm, 0.36 mm]', '0.250 to 0.360 aims at 0.300'],
    ['at-its-aim', 'at-most: 0.012 in', '0.200 to 0.305 aims at 0.300'],
    ['lower', 'at-least: 0.25 mm', 'from 0.250'],
    ['lower', 'at-most: 0.35 mm', '0.200 to 0.350'],
    ['upper', 'at-most: 0.35 mm', 'to 0.350'],
    ['upper', 'between: [0.25 mm, 0.35 mm]', '0.250 to 0.350'],
    ['by-variant', 'at-most: 0.40 mm', 'to 0.400'],
    ['by-variant', 'at-least: 0.10 mm', '0.100 to 0.450'],
    ['in-inches', 'at-most: 0.40 mm', '0.205 to 0.400 aims at 0.305'],
  ])('narrows %s to %s', (name, written, expected) => {
    const { plan } = laid(`stricter: [{ tolerance: set-gap/${name}, ${written}, source: Annexe rule 1 }]\n`);
    const one = plan.tolerances.find((each) => each.name === name);
    const mm = findUnit('mm');
    if (one === undefined || mm === undefined) throw new Error('no tolerance');
    const show = (amount: Amount | undefined) => amount && writeAmount(amount, mm, 3).replace(' mm', '');
    const [low, high, aim] = [one.limits.low, one.limits.high, one.limits.nominal].map(show);
    const range = low === undefined ? `to ${high}` : high === undefined ? `from ${low}` : `${low} to ${high}`;
    expect(range + (aim === undefined ? '' : ` aims at ${aim}`)).toBe(expected);
    expect(one.source).toMatch(/^Annexe rule 1; the pack has .* mm.*: table 1$|in: table 1$/);
  });

  it('keeps both limits exactly where they are written in other units', () => {
    const { job } = laid(
      'stricter: [{ tolerance: set-gap/at-its-aim, at-most: 0.0123 in, source: rule }, { tolerance: set-gap/both-sides, at-least: 0.25 mm, source: rule }]\n',
    );
    // 0.0123 in less 0.300 mm is 0.01242 mm: computed, with 25.4 mm to the inch.
    expect(job.tolerances['at-its-aim']).toMatchObject({ nominal: '0.300 mm', minus: '0.100 mm' });
    expect(job.tolerances['at-its-aim']?.['plus']).toBe('0.01242 mm');
    expect(job.tolerances['both-sides']?.['between']).toEqual(['0.25 mm', '0.40 mm (0.0157 in)']);
  });

  it('narrows temperatures and their differences, in other units too', () => {
    const { plan } = laid(
      'stricter: [{ tolerance: set-gap/warmth, at-most: 100 °F, source: rule }, { tolerance: set-gap/warming, at-least: 21.6 Δ°F, source: rule }]\n',
    );
    expect(plan.tolerances.map(({ says }) => says)).toEqual(
      expect.arrayContaining(['10 °C to 100 °F', '21.6 Δ°F to 40 K']),
    );
  });

  it('takes a reading with an instrument that is nowhere worse', () => {
    const { job, plan } = laid(
      'instruments: { finer: { title: Finer, quantity: length, range: [0 mm, 0.9 mm], resolution: 0.0005 mm, maximum-permissible-error: 0.002 mm, common-error: 0.001 mm, calibrated: yes } }\nfiner: [{ reading: set-gap/gap, instrument: finer }]\n',
    );
    expect(job.readings['gap']?.['instrument']).toBe('finer');
    expect(job.readings['bore']?.['instrument']).toBe('certified');
    expect(plan.entries.flatMap((one) => (one.entry === 'reading' ? (one.instrument ?? []) : []))).toContain(
      'finer',
    );
  });

  it('takes readings that are compared with one better instrument', () => {
    const { job } = laid(
      'instruments: { better: { title: Better, quantity: temperature, range: [0 °C, 120 °C], resolution: 0.1 K, maximum-permissible-error: 0.2 K } }\nfiner: [{ reading: set-gap/before, instrument: better }, { reading: set-gap/after, instrument: better }]\n',
    );
    expect(['before', 'after'].map((one) => job.readings[one]?.['instrument'])).toEqual(['better', 'better']);
  });

  it('has trials of its own, which may be like one of the pack', () => {
    const { document } = laid(
      'trials:\n  annexe-clean: { says: As at the annexe., procedure: set-gap, variant: four, like: clean, expect: { outcome: closed } }\n',
    );
    expect(Object.keys(document['trials'] ?? {})).toEqual(['clean', 'annexe-clean']);
    expect(document['overlaid']?.['trials']).toEqual(['annexe-clean']);
  });

  it('keeps the place of everything in its file', () => {
    const { reading } = laid(
      'hold-points: [{ before: set-gap/aim, hold: look, text: Look., witness: lead }]\n',
    );
    const { positions } = reading;
    expect(positions.value('/holds/look/text')).toMatchObject({ file: 'overlay/overlay.yaml', line: 6 });
    expect(positions.value('/procedures/set-gap/steps/1/hold')?.file).toBe('overlay/overlay.yaml');
    expect(positions.value('/procedures/set-gap/steps/2/step')?.file).toBe('pack.yaml');
  });
});

function overlayDigest(written: string): string {
  const { document } = readPackFromFiles(new Map([['pack.yaml', opening + written]]));
  return bundleOf(document).digest;
}

const stricter = (name: string, limits: string) =>
  `stricter: [{ tolerance: set-gap/${name}, ${limits}, source: rule }]\n`;
const finer = (keys: string, reading = 'gap') =>
  `instruments: { other: { title: Other, ${keys} } }\nfiner: [{ reading: set-gap/${reading}, instrument: other }]\n`;
const dial =
  'quantity: length, range: [-1 mm, 1 mm], resolution: 0.001 mm, maximum-permissible-error: 0.003 mm, common-error: 0.002 mm, calibrated: yes';
const certificate = 'calibration: { expanded-uncertainty: 0.002 mm, coverage-factor: "2" }';
const certified = `quantity: length, range: [0 mm, 1 mm], resolution: 0.001 mm, ${certificate}`;

describe('what would weaken a pack is refused where it stands, with what to do', () => {
  test.each([
    [
      'a wider limit',
      stricter('both-sides', 'between: [0.20 mm, 0.41 mm]'),
      '0.41 mm',
      /no stricter upper limit: the pack has 0\.20 mm to 0\.40 mm.*new revision/,
    ],
    [
      'a lower one',
      stricter('both-sides', 'between: [0.19 mm, 0.30 mm]'),
      '0.19 mm',
      /no stricter lower limit/,
    ],
    [
      'equal limits',
      stricter('both-sides', 'between: [0.20 mm, 0.40 mm]'),
      '0.40 mm',
      /are no stricter.*leave this out/,
    ],
    ['an equal limit alone', stricter('upper', 'at-most: 0.40 mm'), '0.40 mm', /no stricter/],
    ['a lower limit that is lower', stricter('lower', 'at-least: 0.1 mm'), '0.1 mm', /at least 0\.20 mm/],
    [
      'a wider limit in another unit',
      stricter('both-sides', 'at-most: 0.0158 in'),
      '0.0158 in',
      /no stricter upper/,
    ],
    [
      'a limit wider by what rounding hides',
      stricter('in-inches', 'at-most: 0.40480001 mm'),
      '0.40480001 mm',
      /no stricter upper/,
    ],
    [
      'a limit beyond the other one',
      stricter('both-sides', 'at-least: 0.45 mm'),
      '0.45 mm',
      /no stricter lower limit/,
    ],
    [
      'limits outside of the old ones',
      stricter('both-sides', 'between: [0.50 mm, 0.60 mm]'),
      '0.50 mm',
      /no stricter lower/,
    ],
    [
      'a limit that another kind of quantity has',
      stricter('upper', 'at-most: 0.3 bar'),
      '0.3 bar',
      /pressure/,
    ],
    [
      'a limit that names a fact',
      stricter('upper', 'at-most: variant.wide'),
      'variant.wide',
      /as the pack does, in mm/,
    ],
    [
      'limits around a fact of the variant',
      stricter('about-a-fact', 'at-most: 0.3 mm'),
      'set-gap/about-a-fact',
      /not constant/,
    ],
    [
      'a limit that is wider for one variant',
      stricter('by-variant', 'at-most: 0.43 mm'),
      '0.43 mm',
      /the pack has at most 0\.42 mm/,
    ],
    [
      'limits that depend on a reading',
      stricter('by-reading', 'at-most: 0.3 mm'),
      'set-gap/by-reading',
      /not constant/,
    ],
    [
      'limits that leave out what is aimed at',
      stricter('at-its-aim', 'at-least: 0.31 mm'),
      '0.31 mm',
      /aims at, 0\.300 mm/,
    ],
    [
      'a difference of temperatures in another unit',
      stricter('warming', 'at-least: 6 °C'),
      '6 °C',
      /temperature difference is expected.*as the pack does, in K/,
      'bad-quantity',
    ],
    [
      'a temperature that is higher in another unit',
      stricter('warmth', 'at-most: 141 °F'),
      '141 °F',
      /the pack has 10 °C to 60 °C/,
    ],
    [
      'no value at all',
      stricter('both-sides', 'between: [0.35 mm, 0.25 mm]'),
      '0.25 mm',
      /No value is at least 0\.35 mm and at most 0\.25 mm/,
      'reversed-pair',
    ],
    ['something that is no quantity', stricter('upper', 'at-most: little'), 'little', /./, 'bad-quantity'],
    [
      'two statements that do not agree',
      stricter('at-its-aim', 'at-most: 0.33 mm (0.5 in)'),
      '0.33 mm (0.5 in)',
      /0\.5 in/,
      'dual-disagrees',
    ],
    [
      'the same tolerance wider again',
      `${stricter('both-sides', 'at-most: 0.30 mm').slice(0, -2)}, { tolerance: set-gap/both-sides, at-most: 0.35 mm, source: rule }]\n`,
      '0.35 mm',
      /the pack has 0\.20 mm to 0\.30 mm/,
    ],
    [
      'another witness',
      'witnesses: [{ step: set-gap/sign, witness: technician }]\n',
      'technician',
      /has a witness already: lead/,
    ],
    ['a coarser instrument', finer(dial.replace('0.001', '0.002')), 'other', /larger steps/],
    ['one that may be further off', finer(dial.replace('0.003', '0.004')), 'other', /further off/],
    [
      'one that is off by a share',
      finer(dial.replace('0.003 mm', '0.002 mm + 1 % of indication')),
      'other',
      /further off/,
    ],
    [
      'one that says nothing of its error',
      finer(dial.replace(/maximum-permissible-error: \S+ mm, common-error: \S+ mm, /, '')),
      'other',
      /states no maximum permissible error/,
    ],
    [
      'one whose readings share less',
      finer(dial.replace('common-error: 0.002', 'common-error: 0.0005')),
      'other',
      /common-error/,
    ],
    [
      'one whose readings share more',
      finer(dial.replace('common-error: 0.002', 'common-error: 0.0025')),
      'other',
      /common-error/,
    ],
    [
      'one that says nothing of what they share',
      finer(dial.replace('common-error: 0.002 mm, ', '')),
      'other',
      /common-error/,
    ],
    [
      'one that need not be calibrated',
      finer(dial.replace(', calibrated: yes', '')),
      'other',
      /need not be calibrated/,
    ],
    [
      'one that a lead may allow overdue',
      finer(`${dial}, if-overdue: { concession: lead }`),
      'other',
      /if-overdue/,
    ],
    [
      'one of a shorter range',
      finer(dial.replace('-1 mm, 1 mm', '-1 mm, 0.8 mm')),
      'other',
      /range does not reach/,
    ],
    [
      'one of another kind',
      finer('quantity: pressure, range: [0 bar, 1 bar], resolution: 0.1 bar'),
      'other',
      /something else/,
    ],
    [
      'one that others may allow',
      finer(
        'quantity: temperature, range: [0 °C, 120 °C], resolution: 0.5 K, maximum-permissible-error: 1 K, if-overdue: { concession: technician }',
        'before',
      ),
      'other',
      /if-overdue/,
    ],
    [
      'a certificate that says less',
      finer(certified.replace('0.002', '0.003'), 'bore'),
      'other',
      /less certain/,
    ],
    [
      'a certificate by another factor',
      finer(certified.replace('"2"', '"1.5"'), 'bore'),
      'other',
      /less certain/,
    ],
    [
      'a certificate of few degrees of freedom',
      finer(certified.replace('"2"', '"2", degrees-of-freedom: "5"'), 'bore'),
      'other',
      /degrees of freedom/,
    ],
    [
      'no certificate',
      finer(certified.replace(`, ${certificate}`, ''), 'bore'),
      'other',
      /states no calibration/,
    ],
    [
      'an error instead of a certificate',
      finer(certified.replace(certificate, 'maximum-permissible-error: 0.001 mm'), 'bore'),
      'other',
      /besides/,
    ],
    ['a certificate beside an error', finer(`${dial}, ${certificate}`), 'other', /besides/],
    [
      'one of two readings that are compared',
      finer(
        'quantity: temperature, range: [0 °C, 120 °C], resolution: 0.1 K, maximum-permissible-error: 0.2 K',
        'before',
      ),
      'set-gap/before',
      /rise sets set-gap\/before beside set-gap\/after, which is still taken with thermometer.*Name set-gap\/after under finer too, with other/,
    ],
    ['the same instrument', 'finer: [{ reading: set-gap/gap, instrument: dial }]\n', 'dial', /the same/],
    [
      'an instrument for what is counted',
      'finer: [{ reading: set-gap/caps, instrument: dial }]\n',
      'set-gap/caps',
      /without an instrument/,
    ],
    [
      'a name that the pack has',
      'hazards: { hot-oil: { signal: notice, text: Warm. } }\n',
      'hot-oil',
      /The pack has hot-oil already.*replaces nothing/,
      'duplicate-name',
    ],
    [
      'an instrument that the pack has',
      `instruments: { dial: { title: Coarse, ${dial.replace('0.003', '0.3')} } }\n`,
      'dial',
      /already/,
      'duplicate-name',
    ],
    [
      'equipment called like an instrument',
      'equipment: { dial: { title: Anything } }\n',
      'dial',
      /already/,
      'duplicate-name',
    ],
    [
      'a trial called like one of the pack',
      'trials: { clean: { says: x, procedure: set-gap, variant: four, expect: { outcome: held } } }\n',
      'clean',
      /already/,
      'duplicate-name',
    ],
    [
      'a hold that the pack has',
      'hold-points: [{ before: set-gap/aim, hold: ask, text: Look., witness: lead }]\n',
      'ask',
      /already/,
      'duplicate-name',
    ],
    [
      'a procedure that is not there',
      'preliminary: [{ procedure: set-gaps, safety: [hot-oil] }]\n',
      'set-gaps',
      /Did you mean set-gap\?/,
      'unknown-name',
    ],
    [
      'a procedure that no job is',
      'preliminary: [{ procedure: part, safety: [hot-oil] }]\n',
      'part',
      /part of another procedure/,
      'unknown-name',
    ],
    [
      'a step that is not there',
      'cautions: [{ step: set-gap/mesure, hazards: [hot-oil] }]\n',
      'set-gap/mesure',
      /There is no step mesure in set-gap\. Did you mean measure\?/,
      'unknown-name',
    ],
    [
      'a step of another procedure',
      'witnesses: [{ step: set-gap/wipe, witness: lead }]\n',
      'set-gap/wipe',
      /no step wipe in set-gap/,
      'unknown-name',
    ],
    [
      'a tolerance that is not there',
      stricter('upper-limit', 'at-most: 0.3 mm'),
      'set-gap/upper-limit',
      /no tolerance upper-limit in set-gap/,
      'unknown-name',
    ],
    [
      'a reading that is not there',
      'finer: [{ reading: set-gap/gab, instrument: dial }]\n',
      'set-gap/gab',
      /Did you mean gap\?/,
      'unknown-name',
    ],
    [
      'an instrument that is not there',
      'finer: [{ reading: set-gap/gap, instrument: dail }]\n',
      'dail',
      /Did you mean dial\?/,
      'unknown-name',
    ],
    [
      'a name of the language',
      'cautions: [{ step: set-gap/constructor, hazards: [hot-oil] }]\n',
      'set-gap/constructor',
      /no step constructor/,
      'unknown-name',
    ],
    [
      'a procedure of the language',
      'finer: [{ reading: constructor/name, instrument: dial }]\n',
      'constructor/name',
      /no procedure constructor/,
      'unknown-name',
    ],
  ] as const)(
    '%s',
    (_, written, marks, says, code: string = written.startsWith('stricter') &&
    /0\.3 bar|variant\.wide$/.test(marks)
      ? 'bad-quantity'
      : 'overlay-weakens') => {
      const found = said(laying(written), opening + written);
      expect(found).toEqual([{ code, marks, says: expect.stringMatching(says) }]);
    },
  );

  test('nothing is laid of an overlay that is refused in part', () => {
    const { document } = laying(
      `hazards: { wet: { signal: warning, text: Wet. } }\n${stricter('both-sides', 'between: [0.10 mm, 0.50 mm]')}`,
    );
    expect(document).toEqual(alone.document);
  });
});

describe('there is no syntax for the rest', () => {
  test.each([
    ['holds: { ask: { text: Go on., release: [{ concession: technician }] } }', 'holds'],
    ['procedures: { set-gap: { title: Other, steps: [] } }', 'procedures'],
    ['variants: { four: { facts: { wide: 9 mm } } }', 'variants'],
    ['interlocks: []', 'interlocks'],
    ['states: {}', 'states'],
    ['notice: Nothing.', 'notice'],
    ['tolerances: {}', 'tolerances'],
    ['without: [set-gap/sign]', 'without'],
    ['uses: {}', 'uses'],
    ['cautions: [{ step: set-gap/low, hazards: [hot-oil], without: [hot-oil] }]', 'without'],
    ['witnesses: [{ step: set-gap/sign, witness: lead, only-if: { variant: [four] } }]', 'only-if'],
    ['hold-points: [{ before: set-gap/aim, hold: look, text: Look., concession: lead }]', 'concession'],
    [
      'hold-points: [{ before: set-gap/aim, hold: look, text: Look., witness: lead, only-if: { variant: [four] } }]',
      'only-if',
    ],
    ['stricter: [{ tolerance: set-gap/upper, nominal: 0.3 mm, deviation: 1 mm, source: rule }]', 'nominal'],
    ['stricter: [{ tolerance: set-gap/upper, at-most: 0.3 mm, rule: simple, source: rule }]', 'rule'],
    [
      'stricter: [{ tolerance: set-gap/upper, at-most: { "*": [{ var: bore }, "9"] }, source: rule }]',
      'at-most',
    ],
    ['finer: [{ reading: set-gap/gap, instrument: dial, plausible: [-9 mm, 9 mm] }]', 'plausible'],
    ['preliminary: [{ procedure: set-gap, conditions: [] }]', 'conditions'],
  ])('%s', (written, key) => {
    const { diagnostics, document } = laying(`${written}\n`);
    expect(diagnostics.map((one) => one.code)).toEqual(
      [expect.stringMatching(/^(unknown-key|wrong-form|wrong-value|missing-key)$/)].concat(
        diagnostics.slice(1).map(({ code }) => code),
      ),
    );
    expect(JSON.stringify(diagnostics)).toContain(key);
    expect(diagnostics.every(({ span }) => span?.file === 'overlay/overlay.yaml')).toBe(true);
    expect(document).toEqual(alone.document);
  });

  test('a limit without a source', () => {
    expect(
      laying('stricter: [{ tolerance: set-gap/upper, at-most: 0.3 mm }]\n').diagnostics[0]?.message,
    ).toMatch(/source/);
  });
});

describe('an overlay is for one state of one pack', () => {
  const over = (written: string) => opening.replace(/over: .*\n/, `over: ${written}\n`);
  const zeros = `sha256:${'0'.repeat(64)}`;
  test.each([
    [
      'another pack',
      `{ pack: other, revision: 1.2.0, digest: '${packDigest}' }`,
      'other',
      /Lay it over other/,
    ],
    [
      'another revision',
      `{ pack: bench, revision: 1.1.0, digest: '${packDigest}' }`,
      '1.1.0',
      /revision: 1\.2\.0/,
    ],
    [
      'another state',
      `{ pack: bench, revision: 1.2.0, digest: '${zeros}' }`,
      `'${zeros}'`,
      new RegExp(`When the overlay still fits, write under over: .*digest: '${packDigest}'`),
    ],
  ])('%s', (_, written, marks, says) => {
    const reading = laying(stricter('upper', 'at-most: 0.3 mm'), over(written));
    expect(said(reading, over(written))).toEqual([
      { code: 'overlay-of-another', marks, says: expect.stringMatching(says) },
    ]);
    expect(reading.document).toEqual(alone.document);
  });

  test('a pack is never cured by what is laid over it', () => {
    const broken = packText.replace('{ title: Vice }', '{}');
    const files = new Map([['pack.yaml', broken]]);
    const { digest } = bundleOf(readPackFromFiles(files).document);
    const read = readPackFromFiles(
      files,
      new Map(),
      new Map([['overlay.yaml', opening.replace(packDigest, digest)]]),
    );
    expect(read.document).toEqual(readPackFromFiles(files).document);
    expect(read.document['overlaid']).toBeUndefined();
    expect(validate(read.document).pack).toBeUndefined();
  });

  test('a pack that cannot be read is told of that alone', () => {
    const files = new Map([['pack.yaml', `${packText}broken: [`]]);
    const read = readPackFromFiles(files, new Map(), new Map([['overlay.yaml', opening]]));
    expect(read.diagnostics.map(({ code }) => code)).toEqual(['yaml-syntax']);
  });

  test('no file says by hand that something was laid', () => {
    const read = readPackFromFiles(new Map([['pack.yaml', `${packText}overlaid: { overlay: x }\n`]]));
    expect(read.diagnostics.map(({ code, span }) => `${code} ${span?.line}`)).toEqual([
      `unexpected-key ${packText.split('\n').length}`,
    ]);
    expect(read.document).toEqual(alone.document);
    expect(laying('overlaid: { overlay: x }\n').diagnostics.map(({ code }) => code)).toEqual([
      'unexpected-key',
    ]);
  });

  test.each([
    ['nothing', '', /empty-file/],
    ['a list', '- a\n', /./],
    ['a pack', packText, /missing-key/],
    ['half a text', "format: '1\n", /./],
  ])('an overlay that is %s', (_, text, code) => {
    const { diagnostics, document } = laying('', text);
    expect(diagnostics.length).toBeGreaterThan(0);
    expect(diagnostics.map((one) => one.code).join()).toMatch(code);
    expect(document).toEqual(alone.document);
  });

  test('more files, and trials in their folder', () => {
    const { document, diagnostics } = readPackFromFiles(
      new Map([['pack.yaml', packText]]),
      new Map(),
      new Map([
        ['overlay.yaml', opening],
        ['words.yaml', 'hazards: { wet: { signal: warning, text: Wet. } }\n'],
        [
          'trials/one.yaml',
          'trial: one\nsays: x\nprocedure: set-gap\nvariant: four\nlike: clean\nexpect: { outcome: closed }\n',
        ],
      ]),
    );
    expect(diagnostics).toEqual([]);
    expect(document['hazards']).toHaveProperty('wet');
    expect(document['trials']).toHaveProperty('one');
  });
});
