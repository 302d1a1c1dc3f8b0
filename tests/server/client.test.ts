import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { hasPython, pythonClient } from './python-client.ts';
import { post, type Served, served } from './served.ts';

describe.skipIf(!hasPython)('the client in Python', () => {
  let folder = '';
  let server: Served;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'ferrule-client-'));
    server = await served(join(folder, 'jobs'));
  });
  afterAll(async () => {
    server.child.kill('SIGTERM');
    await server.ended;
    rmSync(folder, { recursive: true, force: true });
  });

  const factsOf = (job: string): number => folderStore(join(folder, 'jobs')).read(job).facts?.length ?? 0;

  const jobCount = (): number => folderStore(join(folder, 'jobs')).list().jobs.length;

  test('begins a job by itself, shows what has to be shown, and finishes it', async () => {
    const { how, said } = await pythonClient(server.url).ended;
    expect(how, said).toBe(0);
    const job = /^Begun: (\S+)\n/.exec(said)?.[1] ?? '';
    expect(said).toContain(`${job}: closed, ${factsOf(job)} facts`);
    expect(said).toContain('(unsigned)');
    expect(said).toMatch(/^Demonstration data\./m);
    expect(said).toMatch(/^Ferrule never says that a job is safe\./m);
    expect(said).toMatch(/^ {2}WARNING: A turning crankshaft crushes fingers\./m);
  });

  test('sends the very same again where an answer was lost, and nothing is recorded twice', async () => {
    const before = jobCount();
    const sent: string[] = [];
    const lost: string[] = [];
    // Passes all on, and loses the answer to the first, the fifth and the twentieth thing that is asked for.
    const wire = createServer(async (request, answer) => {
      const pieces: Buffer[] = [];
      for await (const piece of request) pieces.push(Buffer.from(piece));
      const body = Buffer.concat(pieces).toString();
      const passed = await fetch(`${server.url}${request.url}`, {
        method: request.method ?? 'GET',
        ...(body === '' ? {} : { body, headers: { 'content-type': 'application/json' } }),
      });
      const text = await passed.text();
      if (body !== '') sent.push(body);
      if (body !== '' && [1, 5, 20].includes(sent.length)) {
        lost.push(body);
        answer.destroy();
      } else answer.writeHead(passed.status, { 'content-type': 'application/json' }).end(text);
    });
    await new Promise<void>((done) => wire.listen(0, '127.0.0.1', done));
    const address = wire.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const { how, said } = await pythonClient(`http://127.0.0.1:${port}`).ended;
    wire.close();
    expect(how, said).toBe(0);
    expect(said.match(/The same is sent again/g)).toHaveLength(3);
    expect(lost).toHaveLength(3);
    for (const body of lost) expect(sent.filter((one) => one === body)).toHaveLength(2);
    expect(new Set(sent.map((body) => Object(JSON.parse(body)).id)).size).toBe(sent.length - 3);
    expect(said).toMatch(/: closed, 45 facts, last sha256:/);
    expect(jobCount()).toBe(before + 1);
  });

  test('left by Ctrl-C, it says how to go on, and goes on so', async () => {
    const begun = await post(`${server.url}/jobs`, { ...beginning, id: 'begin-for-ctrl-c' });
    const job = String(begun.json['job']);
    const left = pythonClient(server.url, job);
    await expect.poll(() => factsOf(job), { timeout: 60_000, interval: 2 }).toBeGreaterThan(5);
    left.child.kill('SIGINT');
    const { how, said } = await left.ended;
    expect(how, said).toBe(1);
    expect(said).toMatch(new RegExp(`Left\\.\nWhat was confirmed is kept\\. To go on: .* ${job}\n$`));
    expect(said).not.toContain('Traceback');
    const again = await pythonClient(server.url, job).ended;
    expect(again.how, again.said).toBe(0);
    // A closed job is not gone on with; the client says how it ended.
    const closed = await pythonClient(server.url, job).ended;
    expect(closed.how).toBe(0);
    expect(closed.said).toContain(`${job}: closed`);
  });

  test.each([
    ['a job that is not there', ['no-such'], /^no-such-job: There is no job no-such in the store\. /],
    ['too many words', ['one', 'two'], /^Goes on with a job/],
  ])('says what is wrong with %s', async (_, words, message) => {
    const { how, said } = await pythonClient(server.url, ...words).ended;
    expect(how).toBe(1);
    expect(said).toMatch(message);
    expect(said).not.toContain('Traceback');
  });

  test('does not answer for another pack', async () => {
    const begun = await post(`${server.url}/jobs`, {
      ...beginning,
      id: 'begin-of-another',
      pack: 'marram-symptoms',
      procedure: 'find-the-cause',
      persons: [...beginning.persons, { role: 'second-person', person: 'technician B' }],
      instruments: [
        { kind: 'tachometer', identity: 'TA-02', due: '2099-12-31' },
        { kind: 'voltmeter', identity: 'VM-03', due: '2099-12-31' },
      ],
    });
    expect(begun.status, JSON.stringify(begun.json)).toBe(201);
    const job = String(begun.json['job']);
    const { how, said } = await pythonClient(server.url, job).ended;
    expect(how).toBe(1);
    expect(said).toMatch(/This is a job of marram-symptoms\./);
    expect(factsOf(job)).toBe(1);
  });

  test.each([
    ['foo', /^foo is no address of a server\. /],
    ['http://127.0.0.1:1', /^No answer from http:\/\/127\.0\.0\.1:1: .*refused\. Does the server run/],
    ['http://[', /^http:\/\/\[ is no address of a server\. /],
  ])('says of the address %s that nothing is there', async (address, message) => {
    const { how, said } = await pythonClient(address).ended;
    expect(how).toBe(1);
    expect(said).toMatch(message);
    expect(said).not.toContain('Traceback');
  });

  test.each([
    ['text', 200, 'hello'],
    ['other JSON', 200, '{"hello":1}'],
    ['a page of errors', 502, '<html>Bad Gateway</html>'],
    ['JSON of another kind', 404, '[]'],
  ])('says of a server that answers %s that it is another', async (_, status, text) => {
    const other = createServer((_request, answer) => answer.writeHead(status).end(text));
    await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
    const address = other.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const { how, said } = await pythonClient(`http://127.0.0.1:${port}`).ended;
    other.close();
    expect(how).toBe(1);
    expect(said).toMatch(/is no server of Ferrule\./);
    expect(said).not.toContain('Traceback');
  });
});
