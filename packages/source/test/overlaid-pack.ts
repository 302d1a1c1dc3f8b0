import { bundleOf, type PackReading, readPackFromFiles } from '@ferrule/source';

/** A whole pack of invented values that overlays are laid over in tests. */
export const packText = `format: '1'
pack: bench
revision: 1.2.0
title: Bench
notice: Demonstration data.
roles: { technician: { title: Technician }, lead: { title: Lead } }
conditions: { engine-cold: { text: The engine is cold. } }
hazards: { hot-oil: { signal: warning, text: The oil is hot. } }
equipment: { vice: { title: Vice } }
supplies: { oil: { title: Oil } }
instruments:
  dial: { title: Dial, quantity: length, range: [-1 mm, 1 mm], resolution: 0.001 mm, maximum-permissible-error: 0.003 mm, common-error: 0.002 mm, calibrated: yes }
  thermometer: { title: Thermometer, quantity: temperature, range: [0 °C, 120 °C], resolution: 0.5 K, maximum-permissible-error: 1 K, if-overdue: { concession: lead } }
  certified: { title: Certified dial, quantity: length, range: [0 mm, 1 mm], resolution: 0.001 mm, calibration: { expanded-uncertainty: 0.002 mm, coverage-factor: '2' } }
parts: { plug: { title: Plug } }
variants: { four: { title: Four, cylinders: '4', facts: { wide: 0.45 mm } }, five: { title: Five, cylinders: '5', facts: { wide: 0.42 mm } } }
holds:
  ask: { text: It is outside. Ask the lead., release: [{ concession: lead }] }
procedures:
  part:
    title: A part of the work
    steps: [{ step: wipe, do: Wipe it. }]
  set-gap:
    title: Set the gap
    preliminary: { conditions: [engine-cold], persons: [technician, lead], equipment: [dial], supplies: [], spares: [], safety: [] }
    readings:
      gap: { measurand: Gap, quantity: length, unit: mm, instrument: dial, plausible: [0 mm, 0.9 mm] }
      bore: { measurand: Bore, quantity: length, unit: mm, instrument: certified, plausible: [0 mm, 1 mm] }
      before: { measurand: Before, quantity: temperature, unit: °C, instrument: thermometer, plausible: [0 °C, 100 °C] }
      after: { measurand: After, quantity: temperature, unit: °C, instrument: thermometer, plausible: [0 °C, 100 °C] }
      caps: { measurand: Caps, quantity: count, plausible: ['0', '8'] }
    derived:
      rise: { is: { '-': [{ var: after }, { var: before }] } }
    tolerances:
      both-sides: { of: gap, between: [0.20 mm, 0.40 mm (0.0157 in)], source: table 1 }
      at-its-aim: { of: gap, nominal: 0.300 mm, deviation: 0.100 mm, source: table 1 }
      lower: { of: gap, at-least: 0.20 mm, source: table 1 }
      upper: { of: gap, at-most: 0.40 mm, source: table 1 }
      in-inches: { of: bore, nominal: 0.012 in, plus: 0.1 mm, minus: 0.1 mm, source: table 1 }
      by-variant: { of: gap, at-most: variant.wide, source: table 1 }
      about-a-fact: { of: gap, nominal: variant.wide, deviation: 0.40 mm, source: table 1 }
      by-reading: { of: gap, at-most: { '*': [{ var: bore }, '2'] }, source: table 1 }
      warmth: { of: before, between: [10 °C, 60 °C], source: table 2 }
      warming: { of: rise, between: [10 K, 40 K], source: table 2 }
    steps:
      - { step: measure, read: gap, judge: both-sides, if-nonconforming: { hold: ask } }
      - { step: aim, do: Look., judge: at-its-aim, if-nonconforming: { hold: ask } }
      - { step: low, do: Look., hazards: [hot-oil], judge: lower, if-nonconforming: { hold: ask } }
      - { step: high, do: Look., judge: upper, if-nonconforming: { hold: ask } }
      - { step: bore, read: bore, judge: in-inches, if-nonconforming: { hold: ask } }
      - { step: wide, do: Look., judge: by-variant, if-nonconforming: { hold: ask } }
      - { step: about, do: Look., judge: about-a-fact, if-nonconforming: { hold: ask } }
      - { step: ratio, do: Look., judge: by-reading, if-nonconforming: { hold: ask } }
      - { step: warm, read: [before, after], judge: warmth, if-nonconforming: { hold: ask } }
      - { step: rise, do: Look., judge: warming, if-nonconforming: { hold: ask } }
      - { step: sign, do: Sign it., witness: lead }
      - { step: fifth, do: Look at the fifth., only-if: { variant: [five] } }
      - block: end
        steps:
          - { step: close, read: caps }
      - { perform: part }
trials:
  clean:
    says: All inside.
    procedure: set-gap
    variant: four
    answers:
      persons: { technician: technician A, lead: lead C }
      instruments: { dial: { identity: D-1, due: '2099-12-31' }, thermometer: { identity: T-1 }, certified: { identity: C-1 } }
      readings: { gap: 0.300 mm, bore: 0.300 mm, before: 20.0 °C, after: 40.0 °C, caps: '8' }
    expect: { outcome: closed }
`;

const files = new Map([['pack.yaml', packText]]);

/** The pack by itself. */
export const alone = readPackFromFiles(files);

export const packDigest = bundleOf(alone.document).digest;

/** What an overlay begins with, for this pack as it is. */
export const opening = `format: '1'
overlay: annexe
revision: 2.0.0
title: What the annexe adds
over: { pack: bench, revision: 1.2.0, digest: '${packDigest}' }
`;

/** The pack with an overlay over it, of which this is written under the opening. */
export const laying = (written: string, head = opening): PackReading =>
  readPackFromFiles(files, new Map(), new Map([['overlay.yaml', head + written]]));
