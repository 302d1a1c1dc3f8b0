import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { scratch } from './scratch.ts';

/**
 * One gap of 0.20 mm to 0.30 mm, accepted only with a guard band of 1 × U, and one pressure with a simple limit. An
 * overdue gauge and a reading beyond its range may be allowed by the lead. Every value is invented.
 */
const pack = `format: 1
pack: measuring
revision: 1.0.0
title: A gap and a pressure
notice: Demonstration data. Every value is invented.
roles: { technician: { title: Technician }, lead: { title: Lead } }
variants: { one: { title: One } }
instruments:
  gap-gauge:
    title: Gap gauge
    quantity: length
    range: [0 mm, 1 mm]
    resolution: 0.001 mm
    calibrated: yes
    if-overdue: { concession: lead }
    if-beyond-range: { concession: lead }
  pressure-gauge: { title: Pressure gauge, quantity: pressure, range: [0 bar, 10 bar], resolution: 0.1 bar, maximum-permissible-error: 0.3 bar }
  torque-wrench: { title: Torque wrench, quantity: torque, range: [10 N·m, 60 N·m], resolution: 0.5 N·m, calibrated: yes }
joints: { cover: { title: Cover screw } }
holds:
  ask-the-lead: { text: The gap is not proved to lie inside its limits., release: [{ concession: lead }] }
procedures:
  measure:
    title: Measure gap and pressure
    preliminary: { conditions: [], persons: [technician, lead], equipment: [], supplies: [], spares: [], safety: [] }
    readings:
      gap: { measurand: Gap, quantity: length, unit: mm, instrument: gap-gauge, plausible: [0 mm, 2 mm] }
      pressure: { measurand: Pressure, quantity: pressure, unit: bar, instrument: pressure-gauge, plausible: [0 bar, 10 bar] }
    tolerances:
      gap-limits: { of: gap, between: [0.20 mm, 0.30 mm], rule: guarded-acceptance, source: invented }
      pressure-limits: { of: pressure, at-least: 2.0 bar, source: invented }
    steps:
      - { step: gap, do: Measure the gap., read: gap, judge: gap-limits, if-nonconforming: { hold: ask-the-lead }, if-inconclusive: { hold: ask-the-lead } }
      - { step: pressure, do: Read the pressure., read: pressure, judge: pressure-limits, if-nonconforming: { hold: ask-the-lead } }
      - { step: cover, do: Tighten the cover screw., tighten: { joint: cover, stages: [40 N·m], with: torque-wrench } }
`;

/** The shop's list for this pack: U = 2 √(0.001²/12 + a²/3) is 0.0024 mm for GG-1, 0.036 mm for GG-2 and 0.058 mm for GG-3. */
const list = `instruments:
  GG-3: { kind: gap-gauge, due: 2099-12-31, maximum-permissible-error: 0.050 mm }
  GG-2: { kind: gap-gauge, due: 2099-12-31, maximum-permissible-error: 0.031 mm }
  GG-0: { kind: gap-gauge, due: 2020-01-31, maximum-permissible-error: 0.001 mm }
  GG-1: { kind: gap-gauge, due: 2099-12-31, maximum-permissible-error: 0.002 mm, title: the fine one }
  PG-1: { kind: pressure-gauge }
  TW-1: { kind: torque-wrench, due: 2099-12-31, torque-class: { type: II, class: A } }
  XX-1: { kind: weighbridge, range: [0 kg, 9 kg] }
`;

/** The pack and the list in a folder of the test; another list or pack in their place where it is said. */
export function measuringShop(
  more: { readonly list?: string; readonly answers?: string; readonly pack?: (text: string) => string } = {},
): { readonly pack: string; readonly list: string; readonly answers: string; readonly store: string } {
  const folder = scratch();
  mkdirSync(join(folder, 'pack'));
  writeFileSync(join(folder, 'pack/pack.yaml'), more.pack?.(pack) ?? pack);
  writeFileSync(join(folder, 'instruments.yaml'), more.list ?? list);
  writeFileSync(join(folder, 'answers.yaml'), more.answers ?? '');
  return {
    pack: join(folder, 'pack'),
    list: join(folder, 'instruments.yaml'),
    answers: join(folder, 'answers.yaml'),
    store: join(folder, 'jobs'),
  };
}
