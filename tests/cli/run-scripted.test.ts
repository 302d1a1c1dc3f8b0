import { appendFileSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { readJob } from '@ferrule/records';
import { describe, expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { copyOfPack, jobFileIn, scratch } from './scratch.ts';

/** A text without its line breaks. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

const clearance = 'specs/valve-clearance/1.0.0';
const run = ['run', clearance, '--procedure', 'set-clearances', '--variant', 'marram-four'];

function answersFile(text: string): string {
  const file = join(scratch(), 'answers.yaml');
  writeFileSync(file, text);
  return file;
}

describe('run with answers', () => {
  it('runs a whole job, keeps it, and shows verdicts, rotation plan and where it lies', () => {
    const store = scratch();
    const { exitCode, stdout } = ferrule([
      ...run,
      '--answers',
      answersFile('like: all-inside\n'),
      '--jobs',
      store,
    ]);
    expect(stdout).toContain('NOTICE  Demonstration data.');
    expect(stdout).toContain('Ferrule never says that a job is safe.');
    expect(stdout).toMatch(/^ +\d+ {2}\d\d:\d\d {2}.*CONFORMING: Bore 1: /m);
    expect(stdout).toMatch(/^Bore 1: .* mm +0\.\d+ mm; +0\.25 mm to +conforming +0\.\d+ mm/m);
    expect(stdout).toContain('Rotation plan, from TDC of cylinder 1, end of the exhaust stroke');
    const file = jobFileIn(store);
    expect(stdout).toContain(`The job is kept in ${file}`);
    expect(exitCode).toBe(0);
    const read = readJob(file);
    expect(read).toMatchObject({
      header: { procedure: 'set-clearances', variant: 'marram-four', pack: { id: 'valve-clearance' } },
    });
    expect(read.fault === undefined && read.facts.at(-1)?.fact).toEqual({ kind: 'closed', finished: true });
  });

  it('stops where no answer is given, and says how to go on', () => {
    const answers = answersFile('like: all-inside\nreadings:\n  inlet-clearance@4: abc\n');
    const store = scratch();
    const { exitCode, stdout } = ferrule([...run, '--answers', answers, '--jobs', store]);
    expect(stdout).toMatch(/^The job stopped, not finished: .*abc/m);
    expect(stdout).toMatch(/^Go on by hand: npx --no -- ferrule run --jobs \S+ --job \S+$/m);
    expect(exitCode).toBe(1);
    const only = answersFile('persons: { technician: technician A, lead: lead C }\n');
    const without = ferrule([...run, '--answers', only]);
    expect(without.stdout).toMatch(/^The job stopped, not finished: .*\s+named: Torque wrench\./m);
    expect(without.exitCode).toBe(1);
  });

  it.each([
    [
      'reedings: { a: 1 mm }\n',
      /^\S+answers\.yaml:1:1 error unknown-key The key reedings is not known here\.\n {4}/m,
    ],
    ['like: nope\n', /like nope, and the pack has no such trial/],
    ['a: [\n', /^\S+answers\.yaml:\d+:\d+ error yaml-syntax /m],
  ])('names what is wrong with the answers: %j', (text, message) => {
    const { exitCode, stdout, stderr } = ferrule([...run, '--answers', answersFile(text)]);
    expect(stdout + stderr).toMatch(message);
    expect(exitCode).toBeGreaterThan(0);
  });

  it.each([
    [
      'readings:\n  inlet-clerance: 0.28 mm\n',
      /:3:3 error unknown-name .* inlet-clerance under readings\.\n {4}Did you mean inlet-clearance\?$/m,
    ],
    [
      'readings:\n  inlet-clearance@9: 0.28 mm\n',
      /Nothing asks for the answer inlet-clearance@9 under readings\./,
    ],
    ['fields:\n  inlet-clearance: 0.28 mm\n', /Nothing asks for the answer inlet-clearance under fields\./],
    ['observations: { seat: clean }\n', /Nothing asks for the answer seat under observations\./],
    ['identities: { valve@1: V-1 }\n', /Nothing asks for the answer valve@1 under identities\./],
    [
      'persons: { leed: lead C }\n',
      /Nothing asks for the answer leed under persons\.\n {4}Did you mean lead\?$/m,
    ],
    [
      'instruments: { feeler-gage: { identity: F } }\n',
      /feeler-gage under instruments\.\n {4}Did you mean feeler-gauge\?$/m,
    ],
    ['releases: { nowhere: { by: concession } }\n', /Nothing asks for the answer nowhere under releases\./],
  ])('begins no job with an answer that nothing asks for: %j', (text, message) => {
    const store = scratch();
    const answers = answersFile(`like: all-inside\n${text}`);
    const { exitCode, stdout } = ferrule([...run, '--answers', answers, '--jobs', store]);
    expect(stdout).toMatch(message);
    expect(exitCode).toBe(1);
    expect(readdirSync(store)).toEqual([]);
  });

  it('invents nobody', () => {
    const store = scratch();
    const answers = answersFile('persons: { technician: technician A }\n');
    const { exitCode, stdout } = ferrule([...run, '--answers', answers, '--jobs', store]);
    expect(stdout).toMatch(
      /answers\.yaml:1:10 error missing-key Nobody is named for lead \(.*\)\.\n {4}Add lead under persons\.$/m,
    );
    expect(exitCode).toBe(1);
    expect(readdirSync(store)).toEqual([]);
  });

  it('takes answers only from a file of a reasonable size', () => {
    const big = answersFile(`like: all-inside\n#${'x'.repeat(4_000_000)}\n`);
    const cases = [
      [big, /have more than 4 MB\.$/m],
      [scratch(), /are no file\.$/m],
      ...(existsSync('/dev/zero') ? [['/dev/zero', /\/dev\/zero are no file\.$/m] as const] : []),
    ] as const;
    for (const [file, message] of cases) {
      const { exitCode, stderr } = ferrule([...run, '--answers', file]);
      expect(stderr).toMatch(message);
      expect(exitCode).toBe(2);
    }
  });

  it('takes the files of answers that the page about the terminal shows', () => {
    const page = readFileSync(join(root, 'docs/terminal.md'), 'utf8');
    const files = [...page.matchAll(/^```yaml\n(.*?)^```$/gms)].flatMap(([, text]) => text ?? []);
    expect(files).toHaveLength(2);
    for (const text of files) {
      const { exitCode, stdout } = ferrule([...run, '--answers', answersFile(text)]);
      expect(stdout).toMatch(/^Bore 3: .* 0\.28 mm .* conforming(?:.*\n.*)? 2×/m);
      expect(exitCode).toBe(0);
    }
  });

  it('gives the job as JSON', () => {
    const answers = answersFile('like: all-inside\n');
    const { exitCode, stdout } = ferrule([...run, '--answers', answers, '--format', 'json']);
    const job = JSON.parse(stdout);
    expect(job).toMatchObject({ procedure: 'set-clearances', ended: 'closed', rotation: { total: '1260°' } });
    expect(job.verdicts).toHaveLength(8);
    expect(job.verdicts[0]).toMatchObject({ verdict: 'conforming', limits: '0.25 mm to 0.30 mm', judged: 1 });
    expect(exitCode).toBe(0);
  });
});

describe('a kept job', () => {
  const kept = (): { store: string; file: string; id: string } => {
    const store = scratch();
    const answers = answersFile('like: all-inside\nreadings:\n  inlet-clearance@4: abc\n');
    ferrule([...run, '--answers', answers, '--jobs', store]);
    const file = jobFileIn(store);
    return { store, file, id: file.slice(store.length + 1, -'.jsonl'.length) };
  };
  const goOn = (store: string, id: string, lines: readonly string[], pack = clearance) =>
    ferrule(['run', pack, '--jobs', store, '--job', id], { lines });

  it('is taken up again where it stood', () => {
    const { store, file, id } = kept();
    const before = readJob(file);
    const { exitCode, stdout } = goOn(store, id, ['0.28', 'quit']);
    expect(flat(stdout)).toMatch(/The job \S+ goes on; \d+ facts are recorded\. technician A acts\./);
    expect(stdout).toMatch(/CONFORMING: Bore 4: /);
    expect(exitCode).toBe(0);
    const after = readJob(file);
    if (before.fault !== undefined || after.fault !== undefined) throw new Error('both can be read');
    expect(after.facts.length).toBe(before.facts.length + 2);
  });

  it('goes on under the pack that it was started with, whatever the folder holds now', () => {
    const { store, file, id } = kept();
    const pack = copyOfPack('valve-clearance/1.0.0', [
      'pack.yaml',
      'inlet-high: 0.30 mm',
      'inlet-high: 0.31 mm',
    ]);
    const { exitCode, stderr, stdout } = goOn(store, id, ['note Still here.', 'quit'], pack);
    expect(flat(stderr)).toMatch(
      /holds something else\. The job goes on with valve-clearance 1\.0\.0 \(sha256:[0-9a-f]{12}…\) as the store has kept it\./,
    );
    expect(stdout).toContain('Note: Still here.');
    expect(exitCode).toBe(0);
    const gone = goOn(store, id, ['quit'], join(store, 'gone'));
    expect(flat(gone.stderr)).toContain('gone cannot be read any more. The job goes on with');
    expect(gone.exitCode).toBe(0);
    const without = ferrule(['run', '--jobs', store, '--job', id], { lines: ['quit'] });
    expect(without).toMatchObject({ exitCode: 0, stderr: '' });
    // A job of before packs were kept has only the folder.
    const [bundle = ''] = readdirSync(join(store, 'packs'));
    appendFileSync(join(store, 'packs', bundle), ' ');
    for (const words of [
      ['run', '--jobs', store, '--job', id],
      ['jobs', 'card', store, id],
    ])
      expect(flat(ferrule(words).stderr)).toContain('is something else: it was altered');
    expect(flat(ferrule(['jobs', 'show', store, id]).stdout)).toContain(
      'by their kinds alone: what the store keeps',
    );
    rmSync(join(store, 'packs'), { recursive: true });
    const before = readFileSync(file, 'utf8');
    const old = goOn(store, id, ['0.28'], pack);
    expect(old.stderr).toMatch(
      /was started with valve-clearance 1\.0\.0 \(sha256:[0-9a-f]{12}…\), and \S+ holds something else/,
    );
    expect(old.exitCode).toBe(1);
    expect(readFileSync(file, 'utf8')).toBe(before);
    expect(flat(ferrule(['run', '--jobs', store, '--job', id]).stderr)).toContain(
      'the store has kept no pack of',
    );
    expect(goOn(store, id, [], 'specs/marram-unit-pumps/1.0.0').exitCode).toBe(2);
  });

  it('with a changed line is refused, and the line named', () => {
    const { store, file, id } = kept();
    writeFileSync(file, readFileSync(file, 'utf8').replace('"technician A"', '"technician B"'));
    const { exitCode, stderr } = goOn(store, id, ['0.28']);
    expect(stderr).toMatch(/\.jsonl: Line 2: fact 1 was changed: its digest differs\./m);
    expect(exitCode).toBe(1);
  });

  it('with a torn last line goes on without it', () => {
    const { store, file, id } = kept();
    const whole = readFileSync(file, 'utf8');
    writeFileSync(file, `${whole}{"facts":[{"at":`);
    const { exitCode, stderr } = goOn(store, id, ['quit']);
    expect(stderr).toMatch(/was cut off after 16 bytes .* It is set aside as soon as the job goes on\.$/m);
    expect(exitCode).toBe(0);
    expect(goOn(store, id, ['note Still here.', 'quit']).exitCode).toBe(0);
    expect(readFileSync(file, 'utf8').startsWith(whole)).toBe(true);
    expect(readFileSync(`${file}.torn`, 'utf8')).toBe('{"facts":[{"at":');
    expect(goOn(store, id, ['quit']).stderr).toBe('');
  });
});

describe('the demonstration', () => {
  it('checks the pack, runs a whole job with one pump set again, and says what to try next', () => {
    const { exitCode, stdout } = ferrule(['demo'], {});
    expect(
      stdout.match(/^proof {2}install-and-synchronise for marram-(?:three|four|five): nothing\s+refuted/gm),
    ).toHaveLength(3);
    expect(stdout).toContain('Ferrule never says that a job is safe.');
    expect(stdout).toMatch(
      /^Bore 3: Set +0\.037 mm +0\.\d+ mm; +0\.036 mm ± +conforming +0\.004 mm +DI-11$/m,
    );
    expect(stdout).toMatch(/^Falls due next$/m);
    expect(stdout).toMatch(/^1 +360° +0° +4, 3 /m);
    const [, file = ''] = /^The job is kept in (jobs\/\S+\.jsonl)$/m.exec(stdout) ?? [];
    expect(readJob(join(root, file))).not.toHaveProperty('fault');
    rmSync(join(root, file));
    expect(stdout).toContain('Try next');
    expect(exitCode).toBe(0);
  });
});
