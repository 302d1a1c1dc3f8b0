import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, describe, expect, it } from 'vitest';
import { inventedFolder } from '../compare/invented-packs.ts';
import { InventedJobs, type KnownTally } from '../compare/invented-store.ts';
import { ferrule, root } from './ferrule.ts';
import { scratch } from './scratch.ts';

/** `FERRULE_REJUDGE_JOBS=100000` for as many as a large workshop has in ten years: 10 GB of disk. */
const JOBS = Number(process.env['FERRULE_REJUDGE_JOBS'] ?? 2000);
const KILLS = 4;
const SEED = 41;

const callOf = (store: string, out: string): readonly string[] => [
  ...['rejudge', inventedFolder('1.1.0'), '--jobs', store, '--all', '--out', out],
];

/** Temporary files of a run lie in a folder of their own, so that what it leaves there shows. */
const temporary = mkdtempSync(join(tmpdir(), 'ferrule-killed-'));
afterAll(() => rmSync(temporary, { recursive: true, force: true }));

function begun(words: readonly string[]): { readonly child: ChildProcess; readonly ended: Promise<unknown> } {
  const child = spawn(process.execPath, [join(root, 'packages/cli/bin/ferrule.js'), ...words], {
    ...{ cwd: root, stdio: ['ignore', 'ignore', 'pipe'] },
    env: { ...process.env, TMPDIR: temporary },
  });
  return { child, ended: new Promise((done) => child.on('close', done)) };
}

/** How many pieces are kept in a folder; the first line says of what. */
function keptIn(folder: string): number {
  const file = join(folder, 'rejudged.progress.jsonl');
  return existsSync(file) ? readFileSync(file, 'utf8').split('\n').length - 2 : 0;
}

/** The tallies of a document in the words in which they are known. */
function told(out: string): Readonly<Record<string, Readonly<Record<string, number>>>> {
  const { from }: { readonly from: readonly [{ readonly measures: Record<string, { tally: object }> }] } =
    JSON.parse(readFileSync(join(out, 'rejudged.json'), 'utf8'));
  const found: Record<string, Record<string, number>> = {};
  for (const [name, { tally }] of Object.entries(from[0].measures)) {
    const counts: Record<string, number> = {};
    for (const [what, count] of Object.entries(tally)) {
      const said = what.startsWith('gone ') ? 'gone' : what;
      counts[said] = (counts[said] ?? 0) + Number(count);
    }
    found[name.replace('guide-clearance', 'guide-gap')] = counts;
  }
  return found;
}

function known(tally: KnownTally): ReturnType<typeof told> {
  const found: Record<string, Record<string, number>> = {};
  for (const [tolerance, answers] of tally) {
    const name = tolerance.replace(/@.*$/, '');
    const counts = found[name] ?? {};
    found[name] = counts;
    for (const [answer, count] of answers) {
      const [was, now] = answer.split(' → ');
      const what =
        now !== undefined
          ? was === now
            ? `same ${was}`
            : `changed ${was} to ${now}`
          : answer === 'not-taken'
            ? 'cannot not-taken'
            : answer === 'new-reading'
              ? 'cannot no-such-reading'
              : answer;
      // What is not judged any more was not taken, either: there is nothing to count.
      if (what === 'cannot not-taken' && 'gone' in Object.fromEntries(answers)) continue;
      counts[what] = (counts[what] ?? 0) + count;
    }
  }
  return found;
}

describe('a run over many jobs', () => {
  it('that is killed again and again comes to what is known, and to the same bytes as one that is not', async () => {
    const store = join(scratch(), 'jobs');
    const tally = (await InventedJobs.make()).write(store, JOBS, SEED);
    const [whole, cut] = [join(scratch(), 'whole'), join(scratch(), 'cut')];
    expect(ferrule([...callOf(store, whole)]).exitCode).toBe(1);
    expect(told(whole)).toEqual(known(tally));
    const progress = join(cut, 'rejudged.progress.jsonl');
    const all = statSync(join(whole, 'rejudged.json')).size;
    let size = 0;
    for (let kill = 1; kill <= KILLS; kill++) {
      const { child, ended } = begun(callOf(store, cut));
      // Each goes a piece further than the one before.
      while (
        child.exitCode === null &&
        !(existsSync(progress) && statSync(progress).size > (all * kill) / (2 * KILLS))
      )
        await wait(2);
      child.kill('SIGKILL');
      await ended;
      expect(child.signalCode).toBe('SIGKILL');
      expect(statSync(progress).size).toBeGreaterThan(size);
      size = statSync(progress).size;
    }
    expect(ferrule([...callOf(store, cut)]).exitCode).toBe(1);
    const names = ['rejudged.csv', 'rejudged.html', 'rejudged.json', 'rejudged.txt'];
    expect(readdirSync(cut).sort()).toEqual(names);
    for (const name of names)
      expect(readFileSync(join(cut, name)).equals(readFileSync(join(whole, name))), name).toBe(true);
  }, 600_000);

  it('that is interrupted says what is kept and how to go on, and the same call does', async () => {
    const store = join(scratch(), 'jobs');
    (await InventedJobs.make()).write(store, 1500, SEED);
    const out = join(scratch(), 'out');
    for (const words of [callOf(store, out), callOf(store, out).slice(0, -2)]) {
      const { child, ended } = begun(words);
      let said = '';
      child.stderr?.setEncoding('utf8').on('data', (piece: string) => {
        said += piece;
      });
      // It is under way when its threads have been made, and its first jobs are kept.
      const room = (): string =>
        words.includes('--out') ? out : join(temporary, readdirSync(temporary)[0] ?? 'none');
      while (child.exitCode === null && keptIn(room()) < 1) await wait(2);
      const place = room();
      child.kill('SIGINT');
      await ended;
      expect(child.exitCode).toBe(130);
      if (words.includes('--out')) {
        expect(said).toContain(`and kept in ${out}: the same call goes on from there.`);
        expect(Number(/stopped\. (\d+) jobs are done/.exec(said)?.[1])).toBeGreaterThan(0);
        expect(keptIn(out)).toBeGreaterThan(0);
      } else {
        expect(said).toContain('nothing was kept. With --out <folder> it is, and the same call goes on');
        expect(existsSync(place)).toBe(false);
      }
    }
    expect(ferrule([...callOf(store, out)]).exitCode).toBe(1);
    expect(readdirSync(out)).toHaveLength(4);
  }, 240_000);

  it('is not joined by a second one into the same folder, which is told so', async () => {
    const store = join(scratch(), 'jobs');
    (await InventedJobs.make()).write(store, 400, SEED);
    const out = join(scratch(), 'out');
    const { child, ended } = begun(callOf(store, out));
    while (!existsSync(join(out, 'rejudged.progress.jsonl.lock'))) await wait(2);
    child.kill('SIGSTOP');
    const second = ferrule([...callOf(store, out)]);
    child.kill('SIGCONT');
    await ended;
    expect(second.exitCode).toBe(2);
    expect(second.stdout).toBe('');
    expect(second.stderr).toContain(`another run is writing into ${out}`);
    expect(second.stderr).not.toMatch(/\n\s+at /);
    expect(child.exitCode).toBe(1);
    expect(readdirSync(out)).toHaveLength(4);
  }, 120_000);
});
