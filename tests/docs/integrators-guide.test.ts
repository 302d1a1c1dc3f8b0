import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderStore, jobPath } from '@ferrule/records';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ferrule } from '../cli/ferrule.ts';
import { hasPython, pythonClient } from '../server/python-client.ts';
import { root, type Served, served } from '../server/served.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(join(root, 'docs/integrators-guide.md'), 'utf8');
const blocks = fencedBlocks(page);
const block = (info: string): string => blocks.find((one) => one.info === info)?.text ?? '';

const deferral = /^Ferrule never says that a job is safe\. The engine maker's instructions/m;

describe("the integrator's guide", () => {
  let folder: string;
  let store: string;
  let scripts: string;
  let server: Served;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'ferrule-guide-'));
    // Inside of the checkout, where the packages are found by their names.
    scripts = mkdtempSync(join(root, 'node_modules', '.guide-'));
    mkdirSync(join(folder, 'jobs'));
    store = join(folder, 'jobs');
    server = await served(store);
  });
  afterAll(() => {
    server?.child.kill('SIGKILL');
    for (const one of [folder, scripts]) rmSync(one, { recursive: true, force: true });
  });

  // In this order: the second one looks at what the first has left.
  test.each(['first-job.mjs', 'read-the-store.mjs'])('%s prints what the page says', (name) => {
    const script = join(scripts, name);
    expect(block(`js ${name}`)).not.toBe('');
    writeFileSync(script, block(`js ${name}`));
    const { stdout, stderr, status } = spawnSync(process.execPath, [script], {
      encoding: 'utf8',
      env: { ...process.env, FERRULE: server.url, STORE: join(folder, 'jobs') },
    });
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toBe(block(`text ${name}`));
  });

  /** Starts a program of the page in the checkout, as somebody who has saved it there. */
  function start(name: string, ...words: readonly string[]): ChildProcess {
    expect(block(`js ${name}`)).not.toBe('');
    const child = spawn(process.execPath, ['--input-type=module', '-', ...words], { cwd: root });
    child.stdin.end(block(`js ${name}`));
    return child;
  }

  function end(
    child: ChildProcess,
  ): Promise<{ readonly how: number | string | null; readonly said: string }> {
    let said = '';
    for (const stream of [child.stdout, child.stderr]) stream?.on('data', (piece) => (said += String(piece)));
    return new Promise((done) => child.on('close', (code, signal) => done({ how: signal ?? code, said })));
  }

  test('the job in process is kept, refuses an older view, and is found again', async () => {
    const { how, said } = await end(start('in-process.mjs', store));
    expect(how, said).toBe(0);
    const lines = said.trimEnd().split('\n');
    expect(lines[0]).toMatch(/^Demonstration data\./);
    expect(lines[1]).toMatch(deferral);
    expect(lines[2]).toBe('fact 2: acknowledged');
    expect(lines[3]).toMatch(/^refused: The job has moved on to fact 2; /);
    const [, job = ''] = /^(first-job-\S+): 2 facts, at: The engine is cold\./.exec(lines[4] ?? '') ?? [];
    expect(lines).toHaveLength(5);
    // The command and the server go on with what the program has kept.
    expect(ferrule(['verify', `${store}/${job}`]).stdout).toContain('nothing in it was changed');
    const answer = await fetch(`${server.url}/jobs/${job}`);
    expect(await answer.json()).toMatchObject({ job, seq: 2, state: 'open' });
  });

  test.skipIf(!hasPython)(
    'the second screen shows every fact once, through a kill and a restart of the server',
    async () => {
      const jobs = join(folder, 'two-screens');
      const job =
        /^(first-job-\S+): 2 facts/m.exec((await end(start('in-process.mjs', jobs))).said)?.[1] ?? '';
      const first = await served(jobs);
      const screen = start('second-screen.mjs', first.url, job);
      let shown = '';
      screen.stdout?.on('data', (piece) => (shown += String(piece)));
      const ended = end(screen);
      await expect.poll(() => shown, { timeout: 30_000 }).toContain('fact 2: acknowledged');
      first.child.kill('SIGKILL');
      await first.ended;
      const second = await served(jobs, '--port', new URL(first.url).port);
      const client = await pythonClient(second.url, job).ended;
      expect(client.how, client.said).toBe(0);
      const { how, said } = await ended;
      expect(how, said).toBe(0);
      expect(said).toMatch(deferral);
      const facts = folderStore(jobs).read(job).facts ?? [];
      expect(said.split('\n').filter((line) => line.startsWith('fact '))).toEqual(
        facts.map(({ seq, fact }) => `fact ${seq}: ${fact.kind}`),
      );
      expect(facts.at(-1)?.fact.kind).toBe('closed');
      second.child.kill('SIGTERM');
      await second.ended;
    },
  );

  test('the second screen says of a job that is not there that it is not', async () => {
    const { how, said } = await end(start('second-screen.mjs', server.url, 'no-such'));
    expect({ how, said }).toEqual({ how: 0, said: 'There is no job no-such in the store.\n' });
  });

  /** The digest of the last fact of a job. */
  function lastOf(job: string): string {
    const read = folderStore(store).read(job);
    if (read.fault !== undefined) throw new Error(read.fault.message);
    return read.last;
  }

  test.skipIf(!hasPython)('the reader in Python follows the chain, and sees what was changed', async () => {
    const { how, said } = await pythonClient(server.url).ended;
    const [, job = ''] = /^Begun: (\S+)$/m.exec(said) ?? [];
    expect(how, said).toBe(0);
    const program = join(folder, 'read-record.py');
    writeFileSync(program, block('py read-record.py'));
    const path = jobPath(store, job);
    const read = (file: string) => spawnSync('python3', [program, file], { encoding: 'utf8' });
    const whole = read(path);
    expect(whole.status, whole.stderr).toBe(0);
    const last = lastOf(job);
    expect(whole.stdout).toContain(`${job}: valve-clearance 1.0.0, set-clearances`);
    expect(whole.stdout).toMatch(/^\d+ inlet-limits@1: 0\.25 mm conforming$/m);
    expect(whole.stdout.trimEnd().split('\n').at(-1)).toBe(`last ${last}`);
    const text = readFileSync(path, 'utf8');
    // What was never confirmed is passed over; what was changed is seen.
    const copy = join(folder, 'copy.jsonl');
    writeFileSync(copy, `${text}{"facts":[`);
    expect(read(copy)).toMatchObject({ status: 0, stdout: whole.stdout });
    writeFileSync(copy, text.replace('0.25 mm', '0.26 mm'));
    expect(read(copy)).toMatchObject({
      status: 1,
      stderr: expect.stringMatching(/does not follow|is not that/),
    });
    // The records that were kept for good, with uncertainties and signs beyond ASCII: RFC 8785 in another language.
    const kept = join(root, 'tests/conformance/jobs');
    const others = readdirSync(kept, { withFileTypes: true }).filter((one) => one.isDirectory());
    expect(others.length).toBeGreaterThanOrEqual(3);
    for (const { name } of others) {
      const other = read(join(kept, name, 'record.jsonl'));
      expect(other.status, `${name}: ${other.stderr}`).toBe(0);
    }
  });

  test('the calls of the page are those of the command', () => {
    const [job = ''] = folderStore(store)
      .list({ state: 'closed' })
      .jobs.map((one) => one.job);
    const calls = blocks.flatMap(({ info, text }) =>
      info === '' ? text.split('\n').filter((line) => line.startsWith('npx --no -- ferrule ')) : [],
    );
    const tried = calls
      .map((call) => call.replace('npx --no -- ferrule ', ''))
      .filter((call) => /^(?:jobs|verify) /.test(call));
    expect(tried.length).toBeGreaterThanOrEqual(3);
    for (const call of tried) {
      const words = call.replaceAll('JOB', job).replaceAll('LAST', lastOf(job)).split(' ');
      const { exitCode, stderr } = ferrule(words, { cwd: folder });
      expect(exitCode, `${call}: ${stderr}`).toBe(0);
    }
    expect(readFileSync(join(folder, 'card.html'), 'utf8')).toContain(job);
  });

  test('every problem that it names is one of the interface', async () => {
    const { problems } = await import('@ferrule/server');
    const named = [...page.matchAll(/^\| ((?:`[a-z-]+`(?: \(\d+\))?(?:, )?)+)/gm)].flatMap(([, cell = '']) =>
      [...cell.matchAll(/`([a-z-]+)`/g)].map(([, code]) => code),
    );
    expect(named.length).toBeGreaterThan(7);
    for (const code of named) expect(Object.keys(problems)).toContain(code);
    for (const [, code = '', status = ''] of page.matchAll(/`([a-z-]+)` \((\d{3})\)/g))
      expect([code, Object.entries(problems).find(([one]) => one === code)?.[1].status]).toEqual([
        code,
        Number(status),
      ]);
  });

  test('every page that it leads to is there', () => {
    const links = [...page.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map(([, path = '']) => path);
    expect(links.length).toBeGreaterThan(8);
    for (const path of links) expect(() => readFileSync(join(root, 'docs', path))).not.toThrow();
  });
});
