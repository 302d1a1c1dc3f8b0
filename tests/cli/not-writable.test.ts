import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { scratch } from './scratch.ts';

const pack = 'specs/valve-clearance/1.0.0';
const job = ['--procedure', 'set-clearances', '--variant', 'marram-four'];
const sheet = ['sheet', pack, ...job, '--out'];

/** A store with one job that was begun and left. */
function begun(): string {
  const store = join(scratch(), 'jobs');
  ferrule(['run', pack, ...job, '--jobs', store], {
    lines: ['technician A', 'lead C', 'FG-1', 'TW-1 2099-01-01'],
  });
  return store;
}

describe('a place that cannot be written', () => {
  it.runIf(existsSync('/proc/self'))('is told at once where no folder can be made', () => {
    for (const words of [
      ['rejudge', pack, '--jobs', begun(), '--out', '/proc/x'],
      ['new', '/proc/x'],
      ['jobs', 'import', '/proc/x', 'job.json'],
    ]) {
      const { exitCode, stderr } = ferrule(words);
      expect([words[0], exitCode]).toEqual([words[0], 2]);
      expect(stderr).toMatch(
        /\/proc\/x\S*.*\(ENOENT\)\. No folder can be made there\. Name another place\.$/m,
      );
    }
    expect(ferrule([...sheet, '/proc/x']).stderr).toContain(
      'ferrule: /proc/x cannot be written (ENOENT). Nothing can be put there. Name another place.',
    );
  });

  it('is told in plain words, and how to go on', () => {
    const folder = scratch();
    writeFileSync(join(folder, 'file'), '');
    for (const [words, says] of [
      [
        ['rejudge', pack, '--jobs', begun(), '--out', join(folder, 'file')],
        'file is no folder. Name one as --out, which is made when it is not there.',
      ],
      [
        [...sheet, join(folder, 'gone', 'sheet.html')],
        '(ENOENT). The folder that it would lie in is not there. Make that folder first, or name another place.',
      ],
      [[...sheet, folder], '(EISDIR). It is a folder. Name a file in it, or name another place.'],
      [
        ['key', 'new', join(folder, 'gone', 'lead.key')],
        '(ENOENT). The folder that it would lie in is not there. Make that folder first, or name another place.',
      ],
      [
        ['run', pack, ...job, '--answers', join(folder, 'gone.yaml')],
        '(ENOENT). Nothing of this name is there. See that it is spelt right, or name another one.',
      ],
      [
        ['jobs', 'import', begun(), join(folder, 'gone.json')],
        '(ENOENT). Nothing of this name is there. See that it is spelt right, or name another one.',
      ],
      [
        ['jobs', 'import', begun(), folder],
        '(EISDIR). It is a folder. Name the file that jobs export wrote.',
      ],
    ] as const) {
      const { exitCode, stderr } = ferrule(words);
      expect([words, exitCode]).toEqual([words, 2]);
      expect(stderr).toContain(says);
    }
  });

  it.skipIf(process.platform === 'win32' || process.getuid?.() === 0)(
    'is told where a right is missing',
    () => {
      const folder = scratch();
      mkdirSync(join(folder, 'shut'), { mode: 0o500 });
      const { exitCode, stderr } = ferrule([...sheet, join(folder, 'shut', 'sheet.html')]);
      expect(exitCode).toBe(2);
      expect(stderr).toContain(
        '(EACCES). You have no right to write there. Ask whoever may give you that right',
      );
    },
  );
});

it.skipIf(process.platform === 'win32')(
  'a pipe that nobody reads from is told, and none holds up the call',
  () => {
    const pipe = join(scratch(), 'pipe');
    spawnSync('mkfifo', [pipe]);
    const { exitCode, stderr } = ferrule([...sheet, pipe]);
    expect([exitCode, stderr.includes('(ENXIO). It is a pipe, and nobody reads from it.')]).toEqual([
      2,
      true,
    ]);
    const read = spawnSync(
      'sh',
      [
        '-c',
        `cat "$1" & "$2" "$3" sheet ${pack} ${job.join(' ')} --out "$1"; wait`,
        'sh',
        pipe,
        process.execPath,
        join(root, 'packages/cli/bin/ferrule.js'),
      ],
      { cwd: root, encoding: 'utf8', timeout: 60_000 },
    );
    expect(read.stdout).toContain('<!doctype html>');
  },
);

it.skipIf(process.platform === 'win32')('a circle of links is a fault of the call, and no defect', () => {
  const folder = scratch();
  symlinkSync('loop', join(folder, 'loop'));
  for (const words of [
    ['verify', join(folder, 'loop')],
    ['compare', join(folder, 'loop'), pack],
  ]) {
    const { exitCode, stderr } = ferrule(words);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(/^ferrule: \S+loop cannot be read \(ELOOP\)\. Its links lead round in a circle\./);
  }
});

it('an empty word is refused, and does not name the folder that one is in', () => {
  for (const [words, says] of [
    [['rejudge', pack, '--jobs', 'jobs', '--out', ''], '--out is an empty word'],
    [['check', pack, ''], '<PACK> is an empty word'],
    [['jobs', 'show', 'jobs', ''], '<JOB> is an empty word'],
    [['jobs', 'list', '', '--person', ''], '<STORE> and --person are empty words'],
  ] as const) {
    const { exitCode, stderr } = ferrule(words, { cwd: scratch() });
    expect([words, exitCode]).toEqual([words, 2]);
    expect(stderr).toContain(`ferrule: ${says}. Say what is meant, or leave it out.`);
  }
});

it('a policy that is not there is a fault of the call, said from the first column on', () => {
  for (const [name, says] of [
    [
      join(scratch(), 'gone.yaml'),
      /^ferrule: \S+gone\.yaml cannot be read \(ENOENT\)\. Nothing of this name is/,
    ],
    [scratch(), /^ferrule: \S+ is no file\. Name another file\./],
  ] as const) {
    const { exitCode, stderr } = ferrule(['check', pack, '--policy', name]);
    expect(exitCode).toBe(2);
    expect(stderr).toMatch(says);
  }
});
