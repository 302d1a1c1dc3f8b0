import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { root } from './served.ts';

/** Whether this machine has a Python that the example is written for. */
export const hasPython =
  spawnSync('python3', ['-c', 'import sys; sys.exit(sys.version_info < (3, 8))']).status === 0;

/** A client in a process of its own. */
export interface Client {
  readonly child: ChildProcess;
  /** What it has said up to now. */
  readonly said: () => string;
  /** Ends with the process: its exit code, or the signal that has ended it, and all that it has said. */
  readonly ended: Promise<{ readonly how: number | string | null; readonly said: string }>;
}

/** Starts the client in Python that the documentation shows. */
export function pythonClient(...words: readonly string[]): Client {
  const child = spawn('python3', [join(root, 'docs/examples/client.py'), ...words]);
  let said = '';
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (piece) => (said += String(piece)));
  return {
    child,
    said: () => said,
    ended: new Promise((done) => child.on('close', (code, signal) => done({ how: signal ?? code, said }))),
  };
}
