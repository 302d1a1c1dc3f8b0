import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const pack = `
format: 1
pack: complaints
revision: 1.0.0
title: From a complaint to its cause
notice: Demonstration data. Every value is invented and is no maker's.
roles: { technician: { title: Technician } }
variants: { four: { title: Four-cylinder } }
procedures:
  runs-rough:
    title: The engine runs rough
    preliminary: { conditions: [], persons: [technician], equipment: [], supplies: [], spares: [], safety: [] }
    due-next: [Tell the pilot what was found.]
    observations:
      smoke: { text: The exhaust is …, answers: { clear: clear, white: white } }
    steps:
      - { step: look, observe: smoke }
      - choose: by-smoke
        cases:
          - when: { observed: { smoke: white } }
            steps:
              - { step: nozzles, refer-to: { pack: nozzle-bench, procedure: bench-test, title: Nozzle bench test } }
        otherwise:
          - { step: balance, do: Find the weak cylinder., refer-to: { pack: cylinder-balance, procedure: balance, title: Cylinder balance } }
trials:
  white:
    says: The smoke is white.
    procedure: runs-rough
    variant: four
    answers: { observations: { smoke: white } }
    expect: { outcome: closed, refers-to: [nozzle-bench/bench-test] }
  clear:
    says: There is no smoke.
    procedure: runs-rough
    variant: four
    answers: { observations: { smoke: clear } }
    expect: { outcome: closed, refers-to: [cylinder-balance/balance] }
`;
function folder(change: (text: string) => string = (text) => text): string {
  const made = scratch();
  mkdirSync(join(made, 'pack'));
  writeFileSync(join(made, 'pack/pack.yaml'), change(pack));
  writeFileSync(
    join(made, 'answers.yaml'),
    'persons: { technician: technician A }\nobservations: { smoke: white }\n',
  );
  return join(made, 'pack');
}
const run = (path: string): readonly string[] => [
  'run',
  path,
  '--procedure',
  'runs-rough',
  '--variant',
  'four',
];
const flat = (screen: string): string => screen.replace(/\s+/g, ' ');

describe('a step that leads to another procedure', () => {
  it('is confirmed at the terminal, and comes first under what falls due next', () => {
    const lines = ['technician A', '2', 'done', 'close'];
    const { stdout } = ferrule(run(folder()), { lines });
    expect(flat(stdout)).toContain('Next: Nozzle bench test (pack nozzle-bench).');
    expect(flat(stdout)).toContain('Type done to confirm. It then stands under what falls due next.');
    expect(stdout).toContain(
      'Falls due next\n  - Next: Nozzle bench test (pack nozzle-bench, procedure bench-test)\n  - Tell the pilot',
    );
    expect(stdout).not.toContain('Cylinder balance');
  });

  it('stands in a job that is closed as unfinished, where only what was confirmed is due', () => {
    const { stdout } = ferrule(run(folder()), { lines: ['technician A', '2', 'done', 'abandon No time.'] });
    expect(stdout).toContain('Falls due next\n  - Next: Nozzle bench test');
    expect(stdout).not.toContain('Tell the pilot');
  });

  it('is data for a program', () => {
    const path = folder();
    const words = [...run(path), '--answers', join(path, '../answers.yaml'), '--format', 'json'];
    const { next, facts } = JSON.parse(ferrule(words).stdout);
    expect(next).toEqual([
      {
        pack: 'nozzle-bench',
        procedure: 'bench-test',
        title: 'Nozzle bench test',
        step: 'by-smoke/case-1/nozzles',
        seq: 3,
      },
    ]);
    expect(facts[2].fact.kind).toBe('referred');
  });

  it('stands on the sheet with its step, to be ticked', () => {
    const path = folder();
    const { stdout } = ferrule(['sheet', path, '--procedure', 'runs-rough', '--variant', 'four']);
    const text = flat(stdout.replace(/<[^>]+>/g, ' '));
    expect(text).toContain(
      'Next: Nozzle bench test (pack nozzle-bench, procedure bench-test), if step 2 was done',
    );
    expect(text).toContain(
      'Next: Cylinder balance (pack cylinder-balance, procedure balance), if step 3 was done',
    );
  });

  it('is held against what a trial expects', () => {
    expect(ferrule(['trial', folder()]).exitCode).toBe(0);
    const swapped = folder((text) => text.replace('refers-to: [nozzle-bench/bench-test]', 'refers-to: []'));
    const { exitCode, stdout } = ferrule(['trial', swapped]);
    expect(exitCode).toBe(1);
    expect(flat(stdout)).toContain('refers-to: expected nothing, found nozzle-bench/bench-test.');
  });

  it('is checked and proved like any step', () => {
    const { exitCode, stdout } = ferrule(['check', folder(), '--trials']);
    expect([exitCode, stdout]).toEqual([0, expect.stringContaining('0 errors')]);
    expect(stdout).not.toContain('warning');
  });
});
