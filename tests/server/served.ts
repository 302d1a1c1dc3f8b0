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

/** In what surroundings a server is started. */
export interface Surroundings {
  /** Where its packs stand; those of the checkout unless said. */
  readonly packs?: string;
  readonly env?: NodeJS.ProcessEnv;
  /** No file may get longer, in kilobytes: a write stops in the middle there, as on a disk without room. */
  readonly longestFile?: number;
  /** The user and group that it runs as, by number. */
  readonly user?: number;
}

/** Starts the built command, and waits until it listens at a port of its own. */
export const served = (store: string, ...words: readonly string[]): Promise<Served> =>
  servedIn({}, store, ...words);

/** The same in surroundings of a test. */
export function servedIn(
  { packs = join(root, 'specs'), env = process.env, longestFile, user }: Surroundings,
  store: string,
  ...words: readonly string[]
): Promise<Served> {
  const call = [command, 'serve', '--packs', packs, '--jobs', store, '--port', '0', ...words];
  const options = { cwd: root, env, ...(user === undefined ? {} : { uid: user, gid: user }) };
  const bounded = ['-c', `ulimit -f ${longestFile} && exec "$0" "$@"`, process.execPath, ...call];
  const child =
    longestFile === undefined ? spawn(process.execPath, call, options) : spawn('bash', bounded, options);
  return servedBy(child);
}

/** A process that has been started to serve, as soon as it says where. */
export function servedBy(child: ChildProcess): Promise<Served> {
  let said = '';
  const ended = new Promise<{ how: number | string | null; said: string }>((done) => {
    child.on('close', (code, signal) => done({ how: signal ?? code, said }));
  });
  return new Promise((done, fail) => {
    const take = (piece: Buffer): void => {
      said += piece.toString();
      const [, url] = /(http:\/\/[\d.:]+)/.exec(said) ?? [];
      if (url !== undefined) done({ url, child, ended });
    };
    child.stdout?.on('data', take);
    child.stderr?.on('data', take);
    void ended.then(({ how }) => fail(new Error(`the server ended (${how}): ${said}`)));
  });
}

export interface Answer {
  readonly status: number;
  readonly json: Readonly<Record<string, unknown>>;
}

/** Asks for JSON. */
export async function get(url: string): Promise<Answer> {
  const answer = await fetch(url);
  return { status: answer.status, json: Object(await answer.json()) };
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
