import { copyFileSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { converse, ferrule } from './ferrule.ts';
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
    expect(stderr).toMatch(
      /^ferrule: No job can be kept in \/proc\/x\/y \(ENOENT\)\. No folder can be made there\. Name another place\.$/m,
    );
    expect(stdout).toBe('');
    expect(exitCode).toBe(2);
  });
});

describe('a file of a store', () => {
  it('that is empty, or cut off in its first line, is named as a fault, and is not gone on with', () => {
    const { store, file, job } = storeWithJob();
    writeFileSync(join(store, 'cut.jsonl'), readFileSync(file).subarray(0, 40));
    writeFileSync(join(store, 'empty.jsonl'), '');
    const listed = ferrule(['jobs', 'list', store]);
    expect(listed.stdout).toContain(`${job}: open`);
    const verified = ferrule(['verify', store]);
    for (const name of ['cut', 'empty']) {
      expect(listed.stderr).toContain(`ferrule: ${name}: Line 1 is missing or torn:`);
      expect(verified.stdout).toContain(`${name}: NOT SOUND`);
      const gone = ferrule(['run', pack, '--jobs', store, '--job', name]);
      expect(gone.stderr).toContain(`${name}.jsonl: Line 1 is missing or torn:`);
      expect(gone.exitCode).toBe(1);
    }
    expect([listed.exitCode, verified.exitCode]).toEqual([1, 1]);
    // What can be gone on with is offered, and nothing else.
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
    for (const name of readdirSync(store).filter((one) => one.endsWith('.jsonl')))
      expect(readFileSync(join(store, name), 'utf8')).toBe(before);
  });
});

describe('a job that something happens to while a terminal works on it', () => {
  it('takes in what another terminal has added, says so, and goes on from there', async () => {
    const { store, job } = storeWithJob();
    const here = ['run', pack, '--jobs', store, '--job', job];
    let asked = 0;
    const { stdout, exitCode } = await converse(here, () => {
      asked += 1;
      if (asked > 1) return asked === 2 ? 'done' : 'quit';
      ferrule(here, { lines: ['note Seen from the other bench.', 'understood'] });
      return 'understood';
    });
    const screen = stdout.replace(/\s+/g, ' ');
    expect(screen).toContain(
      'Not taken: Another terminal or server has gone on with this job, and added facts 2 to 3:',
    );
    expect(screen).toMatch(/2 \d\d:\d\d technician A Note: Seen from the other bench\./);
    expect(screen).toMatch(/3 \d\d:\d\d technician A Hazards understood:/);
    expect(screen).toContain(
      'Here is where it stands now. Type again what still holds. NOTICE Demonstration data. Step 2 of 27',
    );
    // The answer to the step that it then stands at is taken.
    expect(screen).toMatch(/\[4\] Done: /);
    expect(exitCode).toBe(0);
  });

  it('says that it is gone, where its file was deleted, and does not claim that it is kept', async () => {
    const { store, file, job } = storeWithJob();
    let asked = 0;
    const { stdout, exitCode } = await converse(['run', pack, '--jobs', store, '--job', job], () => {
      asked += 1;
      if (asked === 1) rmSync(file);
      return asked === 1 ? 'understood' : 'quit';
    });
    const screen = stdout.replace(/\s+/g, ' ');
    expect(screen).toContain(`Not taken: The job file ${file} is gone. Nothing was recorded. Put it back`);
    expect(screen).toContain(`The job is not kept any more: ${file} is gone.`);
    expect(screen).not.toContain('The job is kept in');
    expect(exitCode).toBe(1);
  });
});
