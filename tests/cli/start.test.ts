import { spawn } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { folderStore, stateOf } from '@ferrule/records';
import { afterEach, describe, expect, test } from 'vitest';
import { dataFolder } from '../../packages/cli/src/demonstration/demonstration-store.ts';
import { hasScreen } from '../../packages/cli/src/demonstration/open-in-browser.ts';
import { get, post, root, type Served, servedBy } from '../server/served.ts';
import { ferrule } from './ferrule.ts';
import { scratch } from './scratch.ts';

const flat = (text: string): string => text.replace(/\s+/g, ' ');
const running: Served[] = [];
afterEach(() => {
  for (const { child } of running.splice(0)) child.kill('SIGKILL');
});

/** What `npm start` runs, with the data of its person in a folder of the test. */
async function start(data: string, ...words: readonly string[]): Promise<Served> {
  const child = spawn(process.execPath, [join(root, 'packages/cli/start.js'), ...words], {
    cwd: root,
    env: { ...process.env, XDG_DATA_HOME: data, LOCALAPPDATA: data },
  });
  const serving = await servedBy(child);
  running.push(serving);
  return serving;
}

async function stop({ child, ended }: Served): Promise<string> {
  child.kill('SIGINT');
  const { how, said } = await ended;
  expect(how, said).toBe(0);
  return said;
}

interface Listed {
  readonly job: string;
  readonly variant: string;
  readonly state: string;
  readonly last: string;
  readonly started: string;
  readonly nonconforming: number;
}

const jobsAt = async (url: string): Promise<readonly Listed[]> =>
  (await get(`${url}/jobs`)).json['jobs'] as readonly Listed[];

const storeIn = (data: string): string => join(data, 'ferrule/demonstration');

describe.runIf(process.platform === 'linux')('npm start', () => {
  test('shows the page, with four-cylinder jobs half done a short while ago and others finished before, and says what to do', async () => {
    const data = scratch();
    const serving = await start(data, '--port', '0');
    const { url } = serving;
    const page = await fetch(`${url}/`);
    expect(await page.text()).toContain('<title>Ferrule</title>');
    const all = [...(await jobsAt(url))].sort((a, b) => (a.last < b.last ? 1 : -1));
    for (const { job, started } of all) expect(job.slice(0, 10)).toBe(started.slice(0, 10));
    expect(all.map(({ job, state }) => [job.slice(11, -5), state])).toEqual([
      ['set-clearances', 'open'],
      ['install-and-synchronise', 'open'],
      ['install-and-synchronise', 'closed'],
      ['install-and-synchronise', 'closed'],
    ]);
    for (const { variant, state, last, started, nonconforming } of all.slice(0, 2)) {
      expect([variant, state]).toEqual(['marram-four', 'open']);
      expect(nonconforming).toBeGreaterThan(0);
      const minutes = (Date.now() - Date.parse(last)) / 60_000;
      expect(minutes).toBeGreaterThan(1);
      expect(minutes).toBeLessThan(120);
      expect(Date.parse(started)).toBeLessThan(Date.parse(last));
    }
    // What was good enough at one of the finished ones is not any more: there is something to be seen in judging them again.
    const judged = ferrule(['rejudge', 'specs/marram-unit-pumps/1.1.0', '--jobs', storeIn(data)]);
    expect(flat(judged.stdout)).toContain('2 verdicts of 3 jobs come out otherwise under 1.1.0.');
    const said = flat(await stop(serving));
    expect(said).toContain(`Jobs are kept in ${storeIn(data)} and are there the next time.`);
    expect(said).toContain('npm start -- --anew');
    expect(said).toContain('npx --no -- ferrule demo');
    expect(said).toContain('Every value is invented');
    expect(said).toContain('Ferrule never says that a job is safe.');
    expect(said).toContain('Stopped. Everything that was confirmed is in the store.');
  });

  test('goes on with what was done before, and begins anew when it is told to, without losing that', async () => {
    const data = scratch();
    const first = await start(data, '--port', '0');
    const { job } = (await jobsAt(first.url)).find(({ state }) => state === 'open') ?? { job: '' };
    const { seq } = (await get(`${first.url}/jobs/${job}`)).json as { readonly seq: number };
    const command = { command: 'note', text: 'Kept.' };
    const given = await post(`${first.url}/jobs/${job}/commands`, {
      ...{ id: 'note-00001', expectedSeq: seq, by: 'technician A', command },
    });
    expect(given.status).toBe(200);
    await stop(first);
    const second = await start(data, '--port', '0');
    expect((await jobsAt(second.url)).map((one) => one.job)).toContain(job);
    expect((await get(`${second.url}/jobs/${job}`)).json['seq']).toBe(seq + 1);
    await stop(second);
    const third = await start(data, '--port', '0', '--anew');
    const names = (await jobsAt(third.url)).map((one) => one.job);
    expect(names).toHaveLength(4);
    expect(names).not.toContain(job);
    await stop(third);
    const [aside = ''] = readdirSync(join(data, 'ferrule')).filter((name) => name !== 'demonstration');
    const kept = folderStore(join(data, 'ferrule', aside)).read(job).facts;
    expect(kept?.at(-1)?.fact).toMatchObject({ kind: 'noted', text: 'Kept.' });
  });

  test('takes the next port where something else listens', async () => {
    const other = createServer();
    await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
    const address = other.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const serving = await start(scratch(), '--port', String(port));
    expect(new URL(serving.url).port).not.toBe(String(port));
    expect(await jobsAt(serving.url)).toHaveLength(4);
    await stop(serving);
    other.close();
  });

  test('keeps its jobs in a store that is named', async () => {
    const jobs = join(scratch(), 'jobs');
    await stop(await start(scratch(), '--port', '0', '--jobs', jobs));
    const store = folderStore(jobs);
    const states = store.names().map((name) => stateOf(store.read(name).facts ?? []));
    expect([...states].sort()).toEqual(['closed', 'closed', 'open', 'open']);
  });
});

test.each([
  // XDG Base Directory Specification 0.8: a path that is not absolute is to be ignored.
  ['linux', {}, '/people/a/.local/share'],
  ['linux', { XDG_DATA_HOME: '/data' }, '/data'],
  ['linux', { XDG_DATA_HOME: 'data' }, '/people/a/.local/share'],
  ['linux', { XDG_DATA_HOME: '' }, '/people/a/.local/share'],
  ['darwin', { XDG_DATA_HOME: '/data' }, '/people/a/Library/Application Support'],
  ['win32', { LOCALAPPDATA: '/local' }, '/local'],
] as const)('on %s with %o data is kept in %s', (platform, env, folder) => {
  expect(dataFolder({ platform, env, home: '/people/a' })).toBe(folder);
});

test.each([
  ['linux', { DISPLAY: ':0' }, true, true],
  ['linux', { WAYLAND_DISPLAY: 'wayland-0' }, true, true],
  ['linux', {}, true, false],
  ['linux', { DISPLAY: ':0' }, false, false],
  ['linux', { DISPLAY: ':0', CI: 'true' }, true, false],
  ['darwin', {}, true, true],
  ['darwin', { SSH_CONNECTION: 'x' }, true, false],
  ['win32', {}, false, false],
] as const)('on %s with %o, at a terminal: %s, a browser is opened: %s', (platform, env, isTerminal, is) => {
  expect(hasScreen(env, platform, isTerminal)).toBe(is);
});
