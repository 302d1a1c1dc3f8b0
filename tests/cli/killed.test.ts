import { spawn } from 'node:child_process';
import { readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore, jobPath, readJob } from '@ferrule/records';
import { expect, it } from 'vitest';
import { ferrule, root } from './ferrule.ts';
import { scratch } from './scratch.ts';

/** How often a terminal is killed: FERRULE_KILLS=200 tries it long. */
const KILLS = Number(process.env['FERRULE_KILLS'] ?? 20);
const AT_ONCE = 4;
/** A run is over within about this time after its first line. */
const LONGEST_MS = 400;

const job = ['--procedure', 'set-clearances', '--variant', 'marram-four'];

/** Starts a scripted job and kills it at a random moment; answers what had been confirmed on the screen by then. */
function killedRun(store: string, answers: string, wait: number): Promise<{ readonly confirmed: number }> {
  const words = ['run', 'specs/valve-clearance/1.0.0', ...job, '--jobs', store, '--answers', answers];
  return new Promise((done, fail) => {
    const child = spawn(process.execPath, [join(root, 'packages/cli/bin/ferrule.js'), ...words], {
      cwd: root,
    });
    let screen = '';
    child.stdout.setEncoding('utf8').on('data', (piece: string) => {
      if (screen === '') setTimeout(() => child.kill('SIGKILL'), wait);
      screen += piece;
    });
    child.on('error', fail);
    child.on('close', () => {
      // The number at the start of a line of the log; a line that was cut off had been confirmed, too.
      const numbers = [...screen.matchAll(/^ {1,5}(\d+) {2}\d\d:\d\d {2}/gm)].map(([, number]) =>
        Number(number),
      );
      done({ confirmed: Math.max(0, ...numbers) });
    });
  });
}

it(
  `a terminal that is killed ${KILLS} times loses no confirmed fact and leaves no job that cannot be read`,
  async () => {
    const folder = scratch();
    const answers = join(folder, 'answers.yaml');
    writeFileSync(answers, 'like: all-inside\n');
    let killed = 0;
    let midway = 0;
    let confirmedInAll = 0;
    let lost = 0;
    const unreadable: string[] = [];
    for (let round = 0; killed < KILLS; round++) {
      // Each has a store of its own, so that a job is known by it; together they are the load.
      const runs = await Promise.all(
        Array.from({ length: AT_ONCE }, async (_, place) => {
          const store = join(folder, `store-${round}-${place}`);
          return { store, ...(await killedRun(store, answers, Math.random() * LONGEST_MS)) };
        }),
      );
      for (const { store, confirmed } of runs) {
        killed += 1;
        confirmedInAll += confirmed;
        const names = namesIn(store);
        expect(names.length, 'the job that was confirmed is there').toBeGreaterThanOrEqual(
          confirmed > 0 ? 1 : 0,
        );
        for (const name of names) {
          const read = readJob(jobPath(store, name));
          if (read.fault !== undefined) unreadable.push(read.fault.message);
          lost += Math.max(0, confirmed - (read.facts?.length ?? 0));
          expect({ lost, unreadable }).toEqual({ lost: 0, unreadable: [] });
          if (confirmed > 0 && read.facts?.at(-1)?.fact.kind !== 'closed') midway += 1;
          expect(folderStore(store).verify(name)).toMatchObject({ isSound: true });
        }
      }
    }
    // Some were killed in the middle, or nothing was tried.
    expect(midway).toBeGreaterThan(0);
    process.stdout.write(
      `${killed} kills of the terminal, ${midway} in the middle of a job, ${confirmedInAll} facts confirmed, ${lost} lost, ${unreadable.length} jobs unreadable\n`,
    );
    // A job that was left so is gone on with.
    const left = readdirSync(folder).flatMap((name) =>
      namesIn(join(folder, name)).map((one) => [join(folder, name), one] as const),
    );
    const open = left.find(
      ([store, name]) => readJob(jobPath(store, name)).facts?.at(-1)?.fact.kind !== 'closed',
    );
    if (open === undefined) throw new Error('there is one');
    const [store, name] = open;
    const { exitCode, stdout } = ferrule(['run', '--jobs', store, '--job', name], {
      lines: ['note Taken up again.', 'quit'],
    });
    expect(stdout).toContain('Note: Taken up again.');
    expect(exitCode).toBe(0);
  },
  60_000 + KILLS * 5000,
);

const namesIn = (store: string): readonly string[] => folderStore(store).names();
