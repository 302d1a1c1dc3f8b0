import { closeSync, openSync, rmSync, statSync } from 'node:fs';

/** An append takes milliseconds; a lock that is this old was left behind by a process that died. */
const LEFT_BEHIND_MS = 15_000;
const WAITS = 40;
const WAIT_MS = 50;

const pause = new Int32Array(new SharedArrayBuffer(4));

/** Does something while no other process does the same to a file; undefined when the file stays locked. */
export function whileLocked<T>(file: string, work: () => T): T | undefined {
  const lock = `${file}.lock`;
  for (let tries = 0; tries < WAITS; tries++) {
    if (take(lock)) {
      try {
        return work();
      } finally {
        rmSync(lock, { force: true });
      }
    }
    Atomics.wait(pause, 0, 0, WAIT_MS);
  }
  return undefined;
}

function take(lock: string): boolean {
  try {
    closeSync(openSync(lock, 'wx'));
    return true;
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
  }
  const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs;
  if (since !== undefined && Date.now() - since > LEFT_BEHIND_MS) rmSync(lock, { force: true });
  return false;
}
