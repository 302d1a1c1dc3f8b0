import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { closeSync, fsyncSync, mkdtempSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { Agent, request } from 'node:http';
import { join } from 'node:path';
import { folderStore, jobPath } from '@ferrule/records';
import { contest, median } from './contest.ts';
import { duration, type Row, significant } from './row.ts';

const command = 'packages/cli/bin/ferrule.js';
/** How often each server is started for its memory. */
const STARTS = 5;
/** How long a server is left alone before its memory is read, in milliseconds. */
const REST = 1500;
/** Jobs that are worked on at the same time. */
const AT_ONCE = 4;
const SECONDS_OF_LOAD = 4;

interface Running {
  readonly child: ChildProcess;
  readonly url: string;
}

/** Starts a server that says where it listens, and waits for that. */
function started(words: readonly string[]): Promise<Running> {
  const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] });
  return new Promise((done, fail) => {
    let said = '';
    child.stdout.on('data', (piece: Buffer) => {
      said += piece.toString();
      const [url] = /http:\/\/[\d.]+:\d+/.exec(said) ?? [];
      if (url !== undefined) done({ child, url });
    });
    child.on('close', () => fail(new Error(`the server ended: ${said}`)));
  });
}

const stopped = ({ child }: Running): Promise<void> =>
  new Promise((done) => {
    child.removeAllListeners('close');
    child.on('close', () => done());
    child.kill();
  });

const says = `.listen(0, '127.0.0.1', function () { console.log('http://127.0.0.1:' + this.address().port) })`;
const bareHttp = `import { createServer } from 'node:http';
createServer((_, answer) => answer.end('{}'))${says};`;
const bareFastify = `import { fastify } from 'fastify';
const app = fastify();
app.get('/jobs', async () => ({}));
console.log(await app.listen({ host: '127.0.0.1', port: 0 }));`;
/** Reads a JSON body, writes the bytes that it was started with behind its file, and answers when they are synced. */
const bareAppend = `import { createServer } from 'node:http';
import { fsyncSync, openSync, writeSync } from 'node:fs';
const [, path, line] = process.argv;
const file = openSync(path, 'a');
createServer(async (asked, answer) => {
  let body = '';
  for await (const piece of asked) body += piece;
  JSON.parse(body);
  writeSync(file, line);
  fsyncSync(file);
  answer.end('{}');
})${says};`;

const script = (code: string, ...words: readonly string[]): readonly string[] => [
  '--input-type=module',
  '--eval',
  code,
  '--',
  ...words,
];

const agent = new Agent({ keepAlive: true });

/** Asks over a kept connection; answers status and body. */
function ask(url: string, body?: unknown): Promise<{ readonly status: number; readonly text: string }> {
  const method = body === undefined ? 'GET' : 'POST';
  const headers = body === undefined ? {} : { 'content-type': 'application/json' };
  return new Promise((done, fail) => {
    const asked = request(url, { agent, method, headers }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
      });
      answer.on('end', () => done({ status: answer.statusCode ?? 0, text }));
    });
    asked.on('error', fail);
    asked.end(body === undefined ? undefined : JSON.stringify(body));
  });
}

/** Megabytes that a process holds in memory. */
function residentOf({ child }: Running): number {
  const { stdout } = spawnSync('ps', ['-o', 'rss=', '-p', String(child.pid)], { encoding: 'utf8' });
  return Number(stdout.trim()) / 1024;
}

const scratch = (): string => mkdtempSync(join('node_modules/.cache/ferrule-speed', 'server-'));

const serving = (store: string): readonly string[] => [
  ...[command, 'serve', '--packs', 'specs', '--jobs', store, '--port', '0'],
];

/** What servers hold in memory that have answered one request and then have nothing to do. */
async function measureMemory(): Promise<readonly Row[]> {
  const folder = scratch();
  const contestants = [
    { of: 'node:http, bare', words: script(bareHttp) },
    { of: 'Fastify, bare', words: script(bareFastify) },
    { of: 'Ferrule, serve', words: serving(join(folder, 'jobs')) },
  ];
  const found = contestants.map((): number[] => []);
  for (let round = 0; round < STARTS; round++) {
    for (const [place, { words }] of contestants.entries()) {
      const running = await started(words);
      const { status } = await ask(`${running.url}/jobs`);
      if (status !== 200) throw new Error(`the server answers ${status}`);
      await new Promise((later) => setTimeout(later, REST));
      found[place]?.push(residentOf(running));
      await stopped(running);
    }
  }
  rmSync(folder, { recursive: true });
  const bare = median(found[0] ?? []);
  return contestants.map(({ of }, place) => {
    const megabytes = median(found[place] ?? []);
    return {
      measure: 'memory of a server at rest (RSS)',
      of,
      value: `${significant(megabytes)} MB`,
      ratio: `× ${significant(megabytes / bare)}`,
    };
  });
}

/** One job over HTTP, with the number of its last fact. */
class Work {
  readonly #base: string;
  readonly job: string;
  seq = 1;

  constructor(base: string, job: string) {
    this.#base = base;
    this.job = job;
  }

  static async begin(base: string, id: string): Promise<Work> {
    const { status, text } = await ask(`${base}/jobs`, {
      ...{ id, by: 'technician A', pack: 'valve-clearance', revision: '1.0.0' },
      ...{ procedure: 'set-clearances', variant: 'marram-four' },
      persons: [
        { role: 'technician', person: 'technician A' },
        { role: 'lead', person: 'lead C' },
      ],
      instruments: [
        { kind: 'feeler-gauge', identity: 'FG-1' },
        { kind: 'torque-wrench', identity: 'TW-2', due: '2099-12-31' },
      ],
    });
    if (status !== 201) throw new Error(text);
    return new Work(base, String(JSON.parse(text).job));
  }

  async note(): Promise<void> {
    const { status, text } = await ask(`${this.#base}/jobs/${this.job}/commands`, {
      ...{ id: `note-${String(this.seq).padStart(9, '0')}`, expectedSeq: this.seq, by: 'technician A' },
      command: { command: 'note', text: 'Seen from the bench, as it was before.' },
    });
    if (status !== 200) throw new Error(text);
    this.seq += 1;
  }
}

/** Commands that are confirmed over HTTP, each on the disk, beside less than that in the same run. */
async function measureCommands(): Promise<readonly Row[]> {
  const folder = scratch();
  const store = join(folder, 'jobs');
  const running = await started(serving(store));
  const work = await Work.begin(running.url, 'begin-0001');
  await work.note();
  const written = readFileSync(jobPath(store, work.job), 'utf8').trimEnd().split('\n').at(-1);
  if (written === undefined) throw new Error('the job has no line');
  const line = `${written}\n`;
  const append = await started(script(bareAppend, join(folder, 'over-http'), line));
  const bare = openSync(join(folder, 'bare'), 'w');
  const timings = await contest(
    [
      {
        name: 'write and fsync of the same bytes, no HTTP',
        run: (count) => {
          for (let one = 0; one < count; one++) {
            writeSync(bare, line);
            fsyncSync(bare);
          }
        },
      },
      {
        name: 'node:http that parses, writes and syncs them',
        run: async (count) => {
          for (let one = 0; one < count; one++) {
            const { status } = await ask(append.url, { command: 'note' });
            if (status !== 200) throw new Error(`it answers ${status}`);
          }
        },
      },
      {
        name: 'Ferrule, one client',
        run: async (count) => {
          for (let one = 0; one < count; one++) await work.note();
        },
      },
    ],
    9,
  );
  const [base] = timings;
  const rows = timings.map(({ name, nanoseconds }) => rowOf(name, nanoseconds, base?.nanoseconds));
  const all = await Promise.all(
    Array.from({ length: AT_ONCE }, (_, place) => Work.begin(running.url, `begin-many-${place}`)),
  );
  const before = performance.now();
  const until = before + SECONDS_OF_LOAD * 1000;
  let confirmed = 0;
  await Promise.all(
    all.map(async (one) => {
      // Ferrule takes 12,000 requests from one address in a minute, so the load ends before.
      while (performance.now() < until && confirmed < 6000) {
        await one.note();
        confirmed += 1;
      }
    }),
  );
  const each = ((performance.now() - before) * 1e6) / confirmed;
  rows.push(rowOf(`Ferrule, ${AT_ONCE} clients on ${AT_ONCE} jobs`, each, base?.nanoseconds));
  const megabytes = residentOf(running);
  await stopped(running);
  await stopped(append);
  closeSync(bare);
  const kept = folderStore(store);
  for (const { job, seq } of [work, ...all])
    if (kept.read(job).facts?.length !== seq) throw new Error('a fact that was confirmed is not there');
  rmSync(folder, { recursive: true });
  return [
    ...rows,
    {
      measure: 'memory of the server after that (RSS)',
      of: `Ferrule, ${(work.seq + confirmed).toLocaleString('en')} commands`,
      value: `${significant(megabytes)} MB`,
    },
  ];
}

const rowOf = (of: string, nanoseconds: number, base = Number.NaN): Row => ({
  measure: 'one command confirmed over HTTP, on the disk',
  of,
  value: `${duration(nanoseconds)}, ${Math.round(1e9 / nanoseconds).toLocaleString('en')} a second`,
  ratio: `× ${significant(nanoseconds / base)}`,
});

/** The server: what it holds in memory, and how many commands it confirms. */
export async function measureServer(): Promise<readonly Row[]> {
  const rows = [...(await measureMemory()), ...(await measureCommands())];
  agent.destroy();
  return rows;
}
