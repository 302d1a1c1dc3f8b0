import { copyFileSync, existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { ferrule } from './ferrule.ts';
import { jobFileIn, scratch } from './scratch.ts';

const pack = 'specs/valve-clearance/1.0.0';
const clearance = ['run', pack, '--procedure', 'set-clearances', '--variant', 'marram-four'];
const setUp = ['technician A', 'lead C', 'FG-1', 'TW-1 2099-01-01'];

/** A store with one job that was begun and left. */
function storeWithJob(): { readonly store: string; readonly file: string; readonly job: string } {
  const store = scratch();
  ferrule([...clearance, '--jobs', store], { lines: setUp });
  const file = jobFileIn(store);
  return { store, file, job: file.slice(store.length + 1, -'.jsonl'.length) };
}

describe('a place where no job can be kept', () => {
  const file = (): string => {
    const path = join(scratch(), 'jobs');
    writeFileSync(path, '');
    return path;
  };

  it.each([
    [[...clearance]],
    [['run', pack]],
    [['run', pack, '--job', 'x']],
    [[...clearance, '--answers', 'nowhere.yaml']],
  ])('is told as what it is, before any question: %j', (words) => {
    const { exitCode, stdout, stderr } = ferrule([...words, '--jobs', file()], { lines: setUp });
    expect(stderr).toMatch(/^ferrule: \S+jobs is no folder\. Jobs are kept in a folder, which is made when/m);
    expect(stdout).toBe('');
    expect(exitCode).toBe(2);
  });

  it.runIf(existsSync('/proc/self'))('is told also where folders cannot be made', () => {
    const { exitCode, stdout, stderr } = ferrule([...clearance, '--jobs', '/proc/x/y'], { lines: setUp });
    expect(stderr).toMatch(/^ferrule: No job can be kept in \/proc\/x\/y \(E\w+\)\.$/m);
    expect(stdout).toBe('');
    expect(exitCode).toBe(2);
  });
});

describe('a file of a store', () => {
  it('that holds nothing is listed nowhere', () => {
    const { store, job } = storeWithJob();
    writeFileSync(join(store, 'empty.jsonl'), '');
    const { stderr } = ferrule(['run', pack, '--jobs', store, '--job', 'nope']);
    expect(stderr).toContain(`There is ${job}.`);
    expect(ferrule(['run', pack, '--jobs', store]).stderr).not.toContain('empty');
  });

  it('that is a copy of another is not listed, and not gone on with', () => {
    const { store, file, job } = storeWithJob();
    copyFileSync(file, join(store, 'copy.jsonl'));
    expect(ferrule(['run', pack, '--jobs', store]).stderr).not.toContain('copy:');
    const before = readFileSync(file, 'utf8');
    const { exitCode, stderr } = ferrule(['run', pack, '--jobs', store, '--job', 'copy'], {
      lines: ['understood'],
    });
    expect(stderr).toContain(
      `copy.jsonl: Line 1: this is the job ${job}, in a file that was copied or renamed.`,
    );
    expect(exitCode).toBe(1);
    for (const name of readdirSync(store)) expect(readFileSync(join(store, name), 'utf8')).toBe(before);
  });
});
