import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const pack = `
format: 1
pack: bench
revision: 1.0.0
title: The nozzle bench
notice: Demonstration data. Every value is invented and is no maker's.
roles: { technician: { title: Technician }, lead: { title: Lead } }
conditions: { dry: { text: The bench is dry. } }
states: { cover: { is: [on, off], starts: on, ends: on } }
instruments:
  gauge: { title: Pressure gauge, quantity: pressure, range: [0 bar, 400 bar], resolution: 1 bar, maximum-permissible-error: 1 bar }
holds:
  ask-the-lead: { text: It stays outside., release: [{ concession: lead }] }
variants: { four: { title: Four-cylinder } }
procedures:
  test-nozzle:
    title: Test a nozzle
    preliminary: { conditions: [], persons: [technician, lead], equipment: [gauge], supplies: [], spares: [], safety: [] }
    readings:
      opening:
        measurand: Opening pressure
        quantity: pressure
        unit: bar
        instrument: gauge
        plausible: [0 bar, 600 bar]
        repeats: { times: 3, agree-within: 4 bar, most: 5 }
      line: { measurand: Line pressure, quantity: pressure, unit: bar, instrument: gauge, plausible: [0 bar, 600 bar] }
    tolerances:
      opening-limits: { of: opening, between: [240 bar, 260 bar], source: table 1 (invented) }
      line-limits: { of: line, between: [300 bar, 500 bar], source: table 2 (invented) }
    parking: { only-while: { cover: on }, instructions: Cover the bench., on-resuming: [dry] }
    steps:
      - step: test
        read: opening
        judge: opening-limits
        if-nonconforming: { hold: ask-the-lead }
        if-inconclusive: { hold: ask-the-lead }
      - step: line
        read: line
        judge: line-limits
        if-nonconforming: { hold: ask-the-lead }
        if-inconclusive: { hold: ask-the-lead }
      - { step: uncover, do: Uncover the bench., changes: { cover: [on, off] } }
      - { step: cover, do: Cover the bench., changes: { cover: [off, on] } }
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
  'test-nozzle',
  '--variant',
  'four',
];
const setUp = ['technician A', 'lead C', 'PG-1', 'done'];
const byHand = (lines: readonly string[], path = folder()): string => {
  const { stdout, stderr } = ferrule(call(path), { lines: [...setUp, ...lines] });
  expect(stderr).not.toMatch(/^\s+at /m);
  return stdout.replace(/\s+/g, ' ');
};

describe('a reading that is taken several times, by hand', () => {
  it('asks for one after the other, and tells the mean, the spread and the verdict', () => {
    const screen = byHand(['250', '251', '252']);
    expect(screen).toContain(
      'taken 3 times, and their mean counts; where they differ by more than 4 bar, more are asked for',
    );
    expect(screen).toMatch(
      /technician A reading 1 of 3, bar > .*technician A reading 2 of 3, bar > .*reading 3 of 3, bar > /,
    );
    expect(screen).toContain('Opening pressure, reading 2: 251 bar, with PG-1');
    expect(screen).toContain('so far 1: 250 bar, 2: 251 bar; spread 1 bar, furthest from the mean is 1');
    expect(screen).toContain(
      'Opening pressure, reading 3: 252 bar, with PG-1; their mean is 251 bar; spread 2 bar',
    );
    expect(screen).toContain('CONFORMING');
  });

  it('asks for two more where they do not agree, as often as it may', () => {
    const screen = byHand(['250', '251', '258', '251', '250']);
    expect(screen).toContain('spread 8 bar, wider than 4 bar');
    expect(screen).toContain('take two more: the spread 8 bar is wider than 4 bar');
    expect(screen).toContain('reading 4 of 5, bar >');
    expect(screen).toContain('take one more: the spread 8 bar is wider than 4 bar');
    expect(screen).toContain(
      'their mean is 252 bar; spread 8 bar, wider than 4 bar; reading 3 stands out from the others, and counts',
    );
  });

  it('takes one of them away when it is struck, and all of them afterwards', () => {
    const some = byHand(['250', '215', 'facts', 'strike 4 The valve hung.', 'facts']);
    expect(some).toMatch(/Struck: fact 4 \(Opening pressure\): The valve hung\..*reading 2 of 3, bar >/);
    expect(some).toMatch(/STRUCK by fact 5: Opening pressure, reading 2: 215 bar/);
    const all = byHand(['250', '251', '252', 'strike 3 The gauge was not bled.', 'facts']);
    expect(all).toMatch(/Struck: fact 3, and with it 4, 5 .*technician A reading 1 of 3, bar >/);
    // The three of them and the verdict that rests on them.
    expect(all.match(/STRUCK by fact 7/g)).toHaveLength(4);
  });

  it('keeps them while it is parked', () => {
    const screen = byHand(['250', '251', 'park Night.', 'resume', 'yes', '252']);
    expect(screen).toMatch(/Resumed.*reading 3 of 3, bar > .*their mean is 251 bar/);
  });
});

describe('a value beyond the scale, by hand', () => {
  const three = ['250', '250', '250'];
  it('is kept as it was typed, and decides what it can', () => {
    const screen = byHand(['> 400 bar']);
    expect(screen).toContain('Opening pressure, reading 1: > 400 bar, with PG-1');
    expect(screen).toMatch(/NONCONFORMING: opening limits: > 400 bar; limits 240 bar to 260 bar; .*too high/);
  });

  it('is inconclusive where it may lie inside or outside', () => {
    const screen = byHand([...three, '> 400']);
    expect(screen).toMatch(/INCONCLUSIVE: line limits: > 400 bar; limits 300 bar to 500 bar/);
    expect(screen).toContain('HOLD');
  });

  it.each([
    ['> 390', /PG-1 shows values as far as 400 bar/],
    ['> 410', /PG-1 shows nothing beyond 400 bar/],
    ['>', /Not taken: /],
    ['> ', /Not taken: /],
    ['>>4', /Not taken: /],
    ['> -0 bar', /Not taken: /],
    ['>4e9', /Not taken: /],
    ['≥ 400', /may be the end of the scale, or beyond it/],
  ])('%j is not taken', (typed, says) => {
    const screen = byHand([typed, 'facts all']);
    expect(screen).toMatch(says);
    expect(screen).not.toContain('reading 1: ');
  });
});

it('a file of answers has one item for each time', () => {
  const path = folder();
  const answers = join(path, 'answers.txt');
  const run = (opening: string) => {
    writeFileSync(
      answers,
      `persons: { technician: technician A, lead: lead C }\ninstruments: { gauge: { identity: PG-1 } }\nreadings: { opening: ${opening}, line: 350 bar }\n`,
    );
    return ferrule([...call(path), '--answers', answers]);
  };
  const whole = run('[250 bar, 251 bar, 252 bar]');
  expect(whole.exitCode).toBe(0);
  expect(whole.stdout).toContain('reading 3: 252 bar');
  // The last item is given again and again: five times here, since the first one differs too much.
  expect(run('[259 bar, 250 bar]').stdout).toContain('reading 5: 250 bar');
});

it('the sheet says how often, and has a box for each', () => {
  const { stdout } = ferrule(['sheet', folder(), '--procedure', 'test-nozzle', '--variant', 'four']);
  const text = stdout.replace(/<[^>]+>/g, '').replace(/\s+/g, ' ');
  expect(text).toContain(
    '3 times: their mean counts; where they differ by more than 4 bar, two more, up to 5',
  );
  expect(stdout.match(/box to write in/g)?.length).toBeGreaterThanOrEqual(5);
});

it('check finds nothing, and the trials that it drafts use as many answers as the readings need', () => {
  const path = folder();
  const { exitCode, stdout } = ferrule(['check', path]);
  expect(stdout).not.toMatch(/ (?:error|warning) /);
  expect(exitCode).toBe(0);
  const drafted = ferrule(['trial', path, '--write-missing']);
  const drafts = readFileSync(join(path, 'trials', 'drafts.yaml'), 'utf8');
  // Conforming at the limit after it was missed by one last digit: three times each.
  expect(drafts).toMatch(/opening: 261 bar/);
  expect(drafts).toMatch(/line: '?"?> 400 bar/);
  const again = ferrule(['trial', path]);
  expect(`${drafted.stdout}${again.stdout}`).not.toMatch(/[1-9]\d* failed/);
  expect(again.exitCode).toBe(0);
});
