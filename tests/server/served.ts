import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));
const command = join(root, 'packages/cli/dist/ferrule.js');

/** A server in a process of its own. */
export interface Served {
  readonly url: string;
  readonly child: ChildProcess;
  /** Ends with the process: its exit code, or the signal that has ended it, and what it has said. */
  readonly ended: Promise<{ readonly how: number | string | null; readonly said: string }>;
}

/** Starts the built command, and waits until it listens at a port of its own. */
export function served(store: string, ...words: readonly string[]): Promise<Served> {
  const call = [command, 'serve', '--packs', join(root, 'specs'), '--jobs', store, '--port', '0', ...words];
  const child = spawn(process.execPath, call, { cwd: root });
  let said = '';
  const ended = new Promise<{ how: number | string | null; said: string }>((done) => {
    child.on('close', (code, signal) => done({ how: signal ?? code, said }));
  });
  return new Promise((done, fail) => {
    const take = (piece: Buffer): void => {
      said += piece.toString();
      const [, url] = /at (http:\/\/\S+)/.exec(said) ?? [];
      if (url !== undefined) done({ url, child, ended });
    };
    child.stdout.on('data', take);
    child.stderr.on('data', take);
    void ended.then(({ how }) => fail(new Error(`the server ended (${how}): ${said}`)));
  });
}

export interface Answer {
  readonly status: number;
  readonly json: Readonly<Record<string, unknown>>;
}

/** Sends JSON; throws when no whole answer comes. */
export async function post(url: string, body: unknown): Promise<Answer> {
  const answer = await fetch(url, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  });
  return { status: answer.status, json: Object(await answer.json()) };
}
