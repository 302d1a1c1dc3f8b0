import { randomBytes } from 'node:crypto';
import {
  closeSync,
  linkSync,
  lstatSync,
  openSync,
  readFileSync,
  rmSync,
  statSync,
  utimesSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import { hasEnded, ownName } from './lock-holder.ts';

/** How long a lock is kept by a holder of whom nothing can be found out, such as one on another computer. */
const LEFT_BEHIND_MS = 15_000;
const WAITS = 200;
const WAIT_MS = 10;

const pause = new Int32Array(new SharedArrayBuffer(4));

/**
 * Does something while no other process does the same to a file; undefined when the file stays locked. A lock whose
 * process has ended is taken over at once; one whose process is known to live is never taken from it.
 */
export function whileLocked<T>(file: string, work: () => T): T | undefined {
  const lock = `${file}.lock`;
  for (let tries = 0; tries < WAITS; tries++) {
    const done = tryLocked(lock, work);
    if (done !== undefined) return done.result;
    Atomics.wait(pause, 0, 0, WAIT_MS);
  }
  return undefined;
}

/** A file that is kept locked for longer. */
export interface KeptLock {
  /** Says that it is still wanted; for holders of whom nothing can be found out this has to come every few seconds. */
  renew(): void;
  release(): void;
}

/**
 * Keeps a file locked until it is released; undefined at once when another process keeps it, or this one does. A lock whose
 * process has ended is taken over.
 */
export function keepLocked(file: string): KeptLock | undefined {
  const lock = `${file}.lock`;
  const mine = takeOver(lock);
  if (mine === undefined) return undefined;
  return {
    renew: () => {
      const now = new Date();
      if (contentOf(lock) === mine) utimesSync(lock, now, now);
    },
    release: () => {
      if (contentOf(lock) === mine) rmSync(lock, { force: true });
    },
  };
}

function tryLocked<T>(lock: string, work: () => T): { readonly result: T } | undefined {
  const mine = takeOver(lock);
  if (mine === undefined) return undefined;
  try {
    return { result: work() };
  } finally {
    if (contentOf(lock) === mine) rmSync(lock, { force: true });
  }
}

/** Takes the lock, also one that was left behind; answers what stands in it then. */
const takeOver = (lock: string): string | undefined => take(lock) ?? (clear(lock) ? take(lock) : undefined);

/**
 * Makes the lock and answers what stands in it; undefined when there is one already. It is written beside and put in its place
 * whole: of one that is empty, since its maker was killed in between, nobody could say that its process has ended.
 */
function take(lock: string): string | undefined {
  if (lstatSync(lock, { throwIfNoEntry: false }) !== undefined) return undefined;
  const name = randomBytes(8).toString('hex');
  const mine = `${ownName()} ${name}`;
  const beside = `${lock}.${name}`;
  try {
    writeFileSync(beside, mine, { flag: 'wx' });
    linkSync(beside, lock);
    return mine;
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : undefined;
    if (code === 'EEXIST') return undefined;
    if (noLinks.has(code)) return takeBare(lock, mine);
    throw error;
  } finally {
    rmSync(beside, { force: true });
  }
}

/** What file systems say that know no second name of a file. */
const noLinks: ReadonlySet<unknown> = new Set([
  'EPERM',
  'ENOTSUP',
  'EOPNOTSUPP',
  'ENOSYS',
  'EMLINK',
  'EINVAL',
]);

function takeBare(lock: string, mine: string): string | undefined {
  let handle: number;
  try {
    handle = openSync(lock, 'wx');
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'EEXIST') return undefined;
    throw error;
  }
  try {
    writeSync(handle, mine);
  } catch (error) {
    rmSync(lock, { force: true });
    throw error;
  } finally {
    closeSync(handle);
  }
  return mine;
}

/**
 * Removes a lock that was left behind; whether it did. Two that find it at the same time must not remove the lock that
 * the first of them makes next, so this is done under a lock of its own, and only to the very lock that was found.
 */
function clear(lock: string): boolean {
  const found = contentOf(lock);
  if (found === undefined || !isLeftBehind(lock, found)) return false;
  const done = tryLocked(`${lock}.x`, () => {
    if (contentOf(lock) !== found) return false;
    rmSync(lock, { force: true });
    return true;
  });
  return done?.result ?? false;
}

function isLeftBehind(lock: string, content: string): boolean {
  const isEnded = hasEnded(content.slice(0, content.lastIndexOf(' ')));
  if (isEnded !== undefined) return isEnded;
  const since = statSync(lock, { throwIfNoEntry: false })?.mtimeMs;
  // A time that lies ahead was set by another clock, and says as little as one long ago.
  return since !== undefined && Math.abs(Date.now() - since) > LEFT_BEHIND_MS;
}

function contentOf(file: string): string | undefined {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
}
