import { spawnSync } from 'node:child_process';
import { chmodSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { folderStore, jobPath } from '@ferrule/records';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundle, header, note, scratch } from './a-job.ts';
import { builtProgram } from './built-program.ts';

/** Adds notes until one is refused; says how many were confirmed, and what was said then. */
const program = `
import { folderStore } from './index.ts';
const [folder, job] = process.argv.slice(2);
const store = folderStore(folder);
const listed = store.list().jobs.length;
let seq = store.read(job).facts.length;
for (;;) {
  const text = 'x'.repeat(37 * (seq % 7));
  const done = store.append(job, [{ format: '1', seq: seq + 1, id: 'x.' + (seq + 1), at: '2026-03-02T08:00:00+01:00', by: 'technician A', fact: { kind: 'noted', text } }], seq);
  if (done.refused !== undefined) {
    console.log(JSON.stringify({ listed, seq, ...done }));
    break;
  }
  seq += 1;
}
`;

let built = '';
beforeAll(() => {
  built = builtProgram(program);
});
afterAll(() => rmSync(join(built, '..'), { recursive: true, force: true }));

function begun(): string {
  const folder = scratch();
  expect(folderStore(folder).create(header, bundle, [note(1)])).toEqual({ created: 1 });
  return folder;
}

// A shell that can bound the size of files stands for a disk without room: a write stops in the middle there as well.
it.skipIf(process.platform === 'win32')(
  'where there is no more room, what was confirmed stays, nothing else does, and the job goes on later',
  () => {
    for (const kilobytes of [2, 3, 5]) {
      const folder = begun();
      const run = spawnSync(
        'bash',
        ['-c', `ulimit -f ${kilobytes} && exec "$0" "$@"`, process.execPath, built, folder, header.job],
        { encoding: 'utf8' },
      );
      const said = JSON.parse(run.stdout);
      expect(said).toMatchObject({
        refused: 'not-written',
        message: expect.stringMatching(/\(E(?:FBIG|NOSPC)\)/),
      });
      const read = folderStore(folder).read(header.job);
      expect(read.facts).toHaveLength(said.seq);
      expect(read).not.toHaveProperty('torn');
      expect(folderStore(folder).append(header.job, [note(said.seq + 1)], said.seq)).toEqual({
        appended: said.seq + 1,
      });
    }
  },
);

// Root may write everywhere, so that another user has to try.
const other = process.getuid?.() === 0 ? { uid: 65534, gid: 65534 } : {};

it.skipIf(process.platform === 'win32')(
  'a store that may only be read is read and listed, and refuses',
  () => {
    const folder = begun();
    const path = jobPath(folder, header.job);
    const before = readFileSync(path, 'utf8');
    chmodSync(path, 0o444);
    chmodSync(folder, 0o555);
    const run = spawnSync(process.execPath, [built, folder, header.job], { encoding: 'utf8', ...other });
    chmodSync(folder, 0o755);
    expect(JSON.parse(run.stdout)).toMatchObject({
      listed: 1,
      seq: 1,
      refused: 'not-written',
      message: expect.stringMatching(/\(E(?:ACCES|PERM|ROFS)\)/),
    });
    expect(readFileSync(path, 'utf8')).toBe(before);
  },
);
