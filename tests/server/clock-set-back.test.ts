import { join } from 'node:path';
import { expect, test } from 'vitest';
import { putSettling, settlingJob } from '../../packages/server/test/settling.ts';
import { converse } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';
import { movedClock } from './moved-clock.ts';
import { post, servedIn } from './served.ts';

const MINUTE = 60_000;

test('a clock that is set back during a wait: what a client of the server is told', async () => {
  const folder = scratch();
  putSettling(join(folder, 'shelf'));
  const clock = movedClock(join(folder, 'clock'));
  const surroundings = { packs: join(folder, 'shelf'), env: clock.env };
  const { url, child, ended } = await servedIn(surroundings, join(folder, 'jobs'));
  const begun = await post(`${url}/jobs`, { ...settlingJob, id: 'begin-0001', by: 'technician A' });
  expect(begun.status, JSON.stringify(begun.json)).toBe(201);
  const done = (id: string, expectedSeq: number, step: string) =>
    post(`${url}/jobs/${String(begun.json['job'])}/commands`, {
      ...{ id, expectedSeq, by: 'technician A' },
      command: { command: 'done', step },
    });
  expect((await done('stop-00001', 1, 'stop')).status).toBe(200);
  clock.set(5 * MINUTE);
  expect((await done('settle-0001', 2, 'settle')).json).toMatchObject({
    ...{
      code: 'refused',
      refusals: [{ message: expect.stringMatching(/^10 min have to pass; (299|300) s/) }],
    },
  });
  clock.set(-60 * MINUTE);
  expect((await done('settle-0002', 2, 'settle')).json).toMatchObject({
    refusals: [
      {
        code: 'too-soon',
        message: expect.stringMatching(
          /^10 min have to pass since \S+, and it is \S+ now: the clock was set back in between/,
        ),
        remedy: expect.stringContaining('Set the clock right.'),
      },
    ],
  });
  // Waited by the wrong clock: that does not count.
  clock.set(-49 * MINUTE);
  expect((await done('settle-0003', 2, 'settle')).status).toBe(422);
  clock.set(10 * MINUTE + 1000);
  expect(await done('settle-0004', 2, 'settle')).toMatchObject({ status: 200, json: { seq: 3 } });
  child.kill('SIGTERM');
  expect((await ended).how).toBe(0);
});

test('a clock that is set back during a wait: what whoever works in the terminal is told', async () => {
  const folder = scratch();
  const pack = putSettling(join(folder, 'shelf'));
  const clock = movedClock(join(folder, 'clock'));
  const words = [
    'run',
    pack,
    '--procedure',
    'settle',
    '--variant',
    'any-engine',
    '--jobs',
    join(folder, 'jobs'),
  ];
  const screens: string[] = [];
  const answers: readonly (() => string)[] = [
    () => 'technician A',
    () => 'done',
    () => {
      clock.set(-60 * MINUTE);
      return 'done';
    },
    () => {
      clock.set(10 * MINUTE + 1000);
      return 'done';
    },
    () => 'quit',
  ];
  const { exitCode, stdout, stderr } = await converse(
    words,
    (screen) => {
      screens.push(screen.replace(/\s+/g, ' '));
      return answers[screens.length - 1]?.();
    },
    undefined,
    clock.env,
  );
  expect(stderr).toBe('');
  expect(exitCode, stdout).toBe(0);
  expect(screens[2]).toMatch(/Wait 10 min, until \d\d:\d\d/);
  expect(screens[3]).toMatch(
    /Not taken: the clock was set back\. 10 min have to pass since \d\d:\d\d.*, and it shows \d\d:\d\d.* now, so how long was waited is not known\. Set the clock right, then type done\. If it is right now, wait until \d\d:\d\d/,
  );
  expect(stdout).toMatch(/\[3\] Done: /);
});
