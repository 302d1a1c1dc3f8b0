import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { converse, ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

/** Opening pressure of a nozzle, set by shims. Every value is invented. */
const pack = `format: 1
pack: marram-nozzles
revision: 1.0.0
title: Nozzles of the Marram engines
notice: Demonstration data. Every value is invented and is no maker's.
roles: { technician: { title: Technician }, lead: { title: Service-engineering lead } }
instruments:
  nozzle-tester: { title: Nozzle tester, quantity: pressure, range: [0 bar, 400 bar], resolution: 1 bar, maximum-permissible-error: 2 bar }
  micrometer: { title: Micrometer, quantity: length, range: [0 mm, 25 mm], resolution: 0.01 mm, maximum-permissible-error: 0.004 mm }
stock:
  shims:
    title: Adjusting shim of the nozzle holder
    quantity: length
    sizes: { from: 1.00 mm, to: 1.50 mm, by: 0.05 mm }
holds:
  ask-the-lead: { text: Nothing in stock brings it right. Ask the lead., release: [{ concession: lead }] }
variants: { marram-four: { title: Marram four-cylinder, cylinders: 4 } }
procedures:
  set-nozzle:
    title: Set the opening pressure of a nozzle
    preliminary: { conditions: [], persons: [technician, lead], equipment: [nozzle-tester, micrometer], supplies: [], spares: [], safety: [] }
    readings:
      opening: { measurand: Opening pressure, quantity: pressure, unit: bar, instrument: nozzle-tester, plausible: [100 bar, 350 bar] }
      shim-found: { measurand: Shim that is fitted, quantity: length, unit: mm, instrument: micrometer, plausible: [0.90 mm, 1.60 mm] }
      opening-set: { measurand: Opening pressure with the shim, quantity: pressure, unit: bar, instrument: nozzle-tester, plausible: [100 bar, 350 bar] }
    tolerances:
      opening-limits: { of: opening, title: Opening pressure, between: [210 bar, 218 bar], source: table 1 (invented) }
      set-limits: { of: opening-set, title: Opening pressure with the shim, between: [210 bar, 218 bar], source: table 1 (invented) }
    steps:
      - { step: try, do: Pump until the nozzle opens., read: opening }
      - { step: take-apart, do: Take the nozzle holder apart and measure its shim., read: shim-found }
      - step: choose-shim
        do: Take the shim out of the drawer.
        select: { from: shims, for: opening-limits, fitted: shim-found, sensitivity: 100 bar/mm, more: raises }
        if-nonconforming: { hold: ask-the-lead }
      - { step: assemble, do: Put the nozzle holder together. }
      - { step: try-again, do: Pump until the nozzle opens., read: opening-set, judge: set-limits, if-nonconforming: { hold: ask-the-lead } }
trials:
  chosen:
    says: A thicker shim brings it right.
    procedure: set-nozzle
    variant: marram-four
    answers:
      persons: { technician: technician A, lead: lead C }
      readings: { opening: 205 bar, shim-found: 1.00 mm, opening-set: 214 bar }
    expect: { outcome: closed, verdicts: { choose-shim: conforming, set-limits: conforming } }
  none-does:
    says: It is too low for any shim.
    procedure: set-nozzle
    variant: marram-four
    answers: { persons: { technician: technician A, lead: lead C }, readings: { opening: 120 bar, shim-found: 1.00 mm } }
    expect: { outcome: held, hold: ask-the-lead, verdicts: { choose-shim: nonconforming } }
`;

function packFolder(text = pack): string {
  const folder = scratch();
  writeFileSync(join(folder, 'pack.yaml'), text);
  return folder;
}

const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

describe('a pack that chooses shims from stock', () => {
  it('has no fault, and its trials come to what they say', () => {
    const folder = packFolder();
    const checked = ferrule(['check', folder]);
    expect(checked.stdout).not.toMatch(/ error /);
    expect(checked.exitCode).toBe(0);
    const tried = ferrule(['trial', folder]);
    expect(tried.stdout).toContain('2 passed, 0 failed');
    expect(tried.exitCode).toBe(0);
  });

  it('tells the technician which shim, and another one when it is not in the drawer', async () => {
    let isUsedUp = false;
    const answer = (now: string): string => {
      if (/Technician: who/.test(now)) return 'technician A';
      if (/lead: who/i.test(now)) return 'lead C';
      if (/its number, or none/.test(now)) return 'none';
      if (/Take the shim out of the drawer/.test(now)) {
        if (isUsedUp) return 'done';
        isUsedUp = true;
        return 'used-up 1.1 mm';
      }
      if (/Type done/.test(now)) return 'done';
      if (/Opening pressure with the shim, in bar/.test(now)) return '211';
      if (/Opening pressure, in bar/.test(now)) return '205';
      if (/Shim that is fitted, in mm/.test(now)) return '1.00';
      if (/Type close/.test(now)) return 'close';
      return 'quit';
    };
    const { stdout, exitCode } = await converse(
      ['run', packFolder(), '--procedure', 'set-nozzle', '--variant', 'marram-four', '--jobs', scratch()],
      answer,
    );
    const text = flat(stdout);
    expect(text).toContain(
      '1.10 mm: predicted 215 bar to lie within 210 bar to 218 bar; fitted now: 1.00 mm; give or take',
    );
    expect(text).toContain('A size that is not in the drawer: used-up SIZE.');
    expect(text).toContain('Out of stock: Adjusting shim of the nozzle holder, 1.10 mm');
    expect(text).toContain('1.05 mm: predicted 210 bar');
    expect(text).toContain('CONFORMING: Adjusting shim of the nozzle holder: 1.05 mm: predicted 210 bar');
    expect(exitCode).toBe(0);
  });

  it('prints which shim by how much the reading is off', () => {
    const out = join(scratch(), 'sheet.html');
    ferrule(['sheet', packFolder(), '--procedure', 'set-nozzle', '--variant', 'marram-four', '--out', out]);
    const page = flat(readFileSync(out, 'utf8').replace(/<[^>]+>/g, ' '));
    expect(page).toContain('shim found + (214.0 bar − opening) ÷ 100 bar/mm , the nearest in stock');
    // 214 bar − 100 bar/mm × 0.10 mm = 204 bar, and half way to the neighbours, 2.5 bar to each side; read in whole bars.
    expect(page).toContain('202 bar 206 bar 0.10 mm more');
    expect(page).toContain('212 bar 216 bar leave it');
    expect(page).toContain('217 bar 221 bar 0.05 mm less');
    expect(page).toContain('Predicted: opening + 100 bar/mm × (new − shim found) ; more raises it.');
    expect(page).toContain('In stock: 1.00 mm to 1.50 mm by 0.05 mm');
  });
});
