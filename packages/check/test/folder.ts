import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';

/** A pack folder in a new temporary place, from the texts of its files. */
export function folderOf(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), 'ferrule-pack-'));
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  return folder;
}

/** A small pack in which everything is right; `changes` puts other texts in the place of some of it. */
export function smallPack(
  changes: readonly (readonly [from: string, to: string])[] = [],
): Record<string, string> {
  const files = {
    'pack.yaml': `format: '1'
pack: gap-check
revision: 1.0.0
title: Gap check
notice: Invented for a test.
roles: { technician: { title: Technician }, lead: { title: Lead } }
instruments:
  feeler: { title: Feeler gauge, quantity: length, range: [0 mm, 5 mm], resolution: 0.05 mm, maximum-permissible-error: 0.02 mm }
states:
  cover: { is: ['on', 'off'], starts: 'on', ends: 'on' }
interlocks:
  - { law: cover-off-to-read, says: The cover is on., operation: probe, only-while: { cover: 'off' } }
operations: { probe: { title: Reach into the housing } }
variants: { small: { title: Small engine }, large: { title: Large engine } }
holds:
  ask-the-lead: { text: Ask the lead., release: [{ concession: lead }] }
`,
    'procedures/check-gap.yaml': `procedure: check-gap
title: Check the gap
preliminary: { conditions: [], persons: [technician, lead], equipment: [feeler], supplies: [], spares: [], safety: [] }
readings:
  gap: { measurand: Gap, quantity: length, unit: mm, instrument: feeler, plausible: [0 mm, 5 mm] }
tolerances:
  gap-limits: { of: gap, between: [0.5 mm, 1.0 mm], source: a test }
steps:
  - { step: cover-off, do: Take the cover off., changes: { cover: ['on', 'off'] } }
  - step: probe-gap
    do: Probe the gap.
    operation: probe
    read: gap
    judge: gap-limits
    if-nonconforming:
      rework:
        - { step: bend, do: Bend the tongue. }
      resume-at: probe-gap
      attempts: 2
      exhausted: ask-the-lead
  - { step: cover-on, do: Put the cover on., changes: { cover: ['off', 'on'] } }
`,
    'trials/all.yaml': `trials:
  - trial: good
    says: The gap is right at once.
    procedure: check-gap
    variant: small
    answers: { readings: { gap: 0.70 mm } }
    expect: { outcome: closed, reworks: '0', holds: [], verdicts: { gap-limits: conforming } }
  - trial: never-right
    says: The gap is never right, and nobody grants a concession.
    procedure: check-gap
    variant: small
    answers: { readings: { gap: [1.20 mm, 1.10 mm] } }
    expect: { outcome: held, hold: ask-the-lead, reworks: '1', verdicts: { gap-limits: [nonconforming, nonconforming] } }
  - trial: under-the-cover
    says: The cover is on.
    procedure: check-gap
    variant: large
    like: good
    placed: { at: probe-gap, states: { cover: 'on' } }
    expect: { outcome: refused, refused: interlock, law: cover-off-to-read }
`,
  };
  const out: Record<string, string> = { ...files };
  for (const [from, to] of changes) {
    const file = Object.keys(out).find((path) => out[path]?.includes(from));
    if (file === undefined) throw new Error(`${from} is not in the pack`);
    out[file] = (out[file] ?? '').replace(from, to);
  }
  return out;
}
