import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const pack = `
format: 1
pack: leak
revision: 1.0.0
title: Leak-down
notice: Demonstration data. Every value is invented and is no maker's.
roles: { technician: { title: Technician }, lead: { title: Lead } }
holds: { ask-the-lead: { text: It stays outside., release: [{ concession: lead }] } }
variants: { four: { title: Four-cylinder } }
procedures:
  leak-down:
    title: Leak-down
    preliminary: { conditions: [], persons: [technician, lead], equipment: [], supplies: [], spares: [], safety: [] }
    readings:
      pressure: { measurand: Oil pressure, quantity: pressure, unit: bar, plausible: [0 bar, 10 bar], throughout: [speed-limits] }
      speed: { measurand: Engine speed, quantity: rotational-speed, unit: r/min, plausible: [0 r/min, 3000 r/min] }
    derived: { age: { is: { elapsed: { since: warm-up } } } }
    tolerances:
      pressure-limits: { of: pressure, at-least: 2 bar, source: table 1 (invented) }
      speed-limits: { of: speed, nominal: 1500 r/min, deviation: 25 r/min, source: table 1 (invented) }
      age-limits: { of: age, title: Age of the warm-up, at-most: 20 min, source: table 1 (invented) }
    steps:
      - { step: warm-up, do: Run the engine until it is warm. }
      - { step: measure, read: pressure, judge: pressure-limits, if-nonconforming: { hold: ask-the-lead } }
      - { step: in-time, do: Stop the engine., judge: age-limits, if-nonconforming: { hold: ask-the-lead } }
`;
const folder = (): string => {
  const made = scratch();
  writeFileSync(join(made, 'pack.yaml'), pack);
  return made;
};
const call = ['--procedure', 'leak-down', '--variant', 'four'];
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

describe('a job with a time that is judged, and limits that hold throughout a reading', () => {
  it('says how long ago and the limit, asks one question, and records nothing after no', () => {
    const lines = ['A', 'B', 'done', '3', 'no', '3 bar', 'yes', 'done', 'facts all', 'close'];
    const { exitCode, stdout } = ferrule(['run', folder(), ...call], { lines });
    const screen = flat(stdout);
    expect(exitCode).toBe(0);
    expect(screen).toMatch(
      /Time: "Run the engine until it is warm" was done \d+ s ago; Age of the warm-up: at most 20 min/,
    );
    expect(screen).toContain('throughout: Engine speed: 1500 r/min ± 25 r/min');
    expect(screen).toContain(
      'Held during the whole of the reading? Engine speed: 1500 r/min ± 25 r/min yes or no?',
    );
    expect(screen).toContain('Nobody has said that this held during the whole of the reading');
    expect(screen).toContain('held throughout: Engine speed: 1500 r/min ± 25 r/min');
    // Once as it is taken, and once in the list of facts.
    expect(screen.match(/Oil pressure: 3 bar/g)).toHaveLength(2);
    expect(screen).toMatch(/Age of the warm-up: \d+(?:\.\d+)? s/);
  });

  it('is answered by a file', () => {
    const answers = join(scratch(), 'answers.yaml');
    const runWith = (held: string): ReturnType<typeof ferrule> => {
      writeFileSync(
        answers,
        `persons: { technician: A, lead: B }\nreadings: { pressure: 3 bar }\nheld: { pressure: ${held} }\n`,
      );
      return ferrule(['run', folder(), ...call, '--answers', answers]);
    };
    expect(runWith('yes').exitCode).toBe(0);
    const refused = runWith('no');
    expect(refused.exitCode).toBe(1);
    expect(flat(refused.stdout + refused.stderr)).toContain('Nobody has said that this held');
  });

  it('has boxes for both on its sheet', () => {
    const out = join(scratch(), 'sheet.html');
    expect(ferrule(['sheet', folder(), ...call, '--out', out]).exitCode).toBe(0);
    const words = flat(readFileSync(out, 'utf8').replace(/<[^>]*>/g, ' '));
    expect(words).toContain('Throughout: Engine speed: 1500 r/min ± 25 r/min');
    expect(words).toMatch(/bar held C /);
    expect(words).toContain('Done at');
    expect(words).toContain('age = time since warm up');
  });
});
