import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const pack = `
format: 1
pack: pipes
revision: 1.0.0
title: Fuel pipes
notice: Demonstration data. Every value is invented and is no maker's.
roles: { technician: { title: Technician } }
instruments:
  torque-wrench:
    title: Torque wrench
    quantity: torque
    range: [10 N·m, 60 N·m]
    resolution: 0.5 N·m
    torque-class: { type: II, class: A }
    calibrated: yes
joints:
  pipe-nut: { title: Nut of the pipe }
  flange: { title: Nuts of the flange, fasteners: 4 }
variants: { four: { title: Four-cylinder } }
procedures:
  fit-pipe:
    title: Fit a pipe
    preliminary: { conditions: [], persons: [technician], equipment: [torque-wrench], supplies: [], spares: [], safety: [] }
    readings:
      running:
        measurand: Torque at which the nut runs
        quantity: torque
        unit: N·m
        plausible: [0 N·m, 8 N·m]
    steps:
      - step: pipe
        tighten: { joint: pipe-nut, stages: [20 N·m, 43 N·m], with: torque-wrench, adapter: { length: 45 mm } }
      - { step: feel, read: running }
      - step: flange
        tighten: { joint: flange, stages: [12 N·m, 24 N·m, + 60°], with: torque-wrench, running-torque: running, pattern: [1, 3, 2, 4] }
`;
const folder = (): string => {
  const made = scratch();
  writeFileSync(join(made, 'pack.yaml'), pack);
  return made;
};
const call = (path: string): readonly string[] => [
  'run',
  path,
  '--procedure',
  'fit-pipe',
  '--variant',
  'four',
];
/** A screen without its line breaks. */
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

describe('tightening at the terminal', () => {
  it('says what the wrench is set to, once its length is known, and in which order the nuts come', () => {
    const lines = [
      'technician A',
      'TW-1 2099-01-01',
      'done',
      'length',
      'length 3 kg',
      'length 300 mm',
      'instruments',
    ];
    const { stdout } = ferrule(call(folder()), {
      lines: [...lines, 'done', '2.3', 'length 300 mm', 'done', 'facts all', 'close', 'quit'],
    });
    const screen = flat(stdout);
    expect(screen).toContain('its number, calibrated until, its length');
    expect(screen).toContain(
      'the length of TW-1 is not stated. Measure it from the drive to the middle of the grip',
    );
    expect(screen).toContain('Say it with its unit: length 300 mm.');
    expect(screen).toContain('"3 kg" is no length of a wrench.');
    expect(screen).toContain('Torque wrench TW-1, calibrated until 2099-01-01, 300 mm long');
    expect(screen).toContain(
      'Set the wrench to 37.5 N·m for 43 N·m at the screw (adapter 45 mm on 300 mm); that gives 43.1 N·m there.',
    );
    expect(screen).toContain(
      'Set the wrench to 26.5 N·m for 24 N·m at the screw (running torque 2.3 N·m added); that gives 26.5 N·m there, running torque included.',
    );
    expect(stdout).toMatch(
      /^ {4}stage {3}over the fasteners in this order\n {4}-+ {2}-+\n {4}12 N·m {2}1 3 2 4\n {4}24 N·m {2}1 3 2 4\n {4}\+ 60° {3}1 3 2 4$/m,
    );
    // The record keeps it.
    expect(screen).toContain(', with TW-1, set to 17.5 N·m for 20 N·m, then 37.5 N·m for 43 N·m');
    expect(stdout).toContain('closed');
  });

  it('takes the length with the number of the wrench', () => {
    const { stdout } = ferrule(call(folder()), {
      lines: ['technician A', 'TW-1 2099-01-01 30 cm', 'done', 'quit'],
    });
    expect(flat(stdout)).toContain('(adapter 45 mm on 30 cm)');
  });

  it('says nothing of a setting that is the torque itself', () => {
    const plain = pack.replace(', adapter: { length: 45 mm }', '').replace(', running-torque: running', '');
    const made = scratch();
    writeFileSync(join(made, 'pack.yaml'), plain);
    const { stdout } = ferrule(call(made), { lines: ['technician A', 'TW-1 2099-01-01', 'done', 'quit'] });
    expect(stdout).not.toContain('Set the wrench');
    expect(flat(stdout)).not.toContain('its length');
  });
});
