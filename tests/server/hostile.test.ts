import { readdirSync, readFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { folderStore } from '@ferrule/records';
import { expect, test } from 'vitest';
import { beginning } from '../../packages/server/test/beginning.ts';
import { scratch } from '../cli/scratch.ts';
import { get, post, served } from './served.ts';

/** What comes back for these bytes, by a bare connection: Node’s client would not send them. */
function raw(url: string, head: readonly string[], body = ''): Promise<string> {
  const { hostname, port } = new URL(url);
  return new Promise((done) => {
    const socket = connect(Number(port), hostname, () => {
      const length = Buffer.byteLength(body);
      socket.write(`${head.join('\r\n')}\r\nContent-Length: ${length}\r\nConnection: close\r\n\r\n${body}`);
    });
    let answer = '';
    socket.setEncoding('utf8').on('data', (piece: string) => {
      answer += piece;
    });
    socket.on('error', () => undefined);
    socket.on('close', () => done(answer));
  });
}

test('a running server holds off what is hostile, says nothing of the machine, and goes on', async () => {
  const folder = scratch();
  const jobs = join(folder, 'jobs');
  const { url, child, ended } = await served(jobs);
  const host = `Host: ${new URL(url).host}`;
  const json = 'Content-Type: application/json';
  const begin = JSON.stringify({ ...beginning, id: 'begin-0001' });
  const asked = async (expected: string, head: readonly string[], body = ''): Promise<void> => {
    const answer = await raw(url, head, body);
    expect(answer, head.join(' ').slice(0, 200)).toContain(`"code":"${expected}"`);
    expect(answer).not.toContain(folder);
    expect(answer).not.toContain('node_modules');
    expect(answer).not.toMatch(/access-control/i);
  };
  // A name of somebody else that leads here, and pages of other origins.
  for (const name of ['evil.example', `evil.example:${new URL(url).port}`, '127.0.0.1', 'localhost:1', ''])
    await asked('wrong-host', ['POST /jobs HTTP/1.1', `Host: ${name}`, json], begin);
  for (const origin of ['http://evil.example', 'null', 'https://127.0.0.1', 'file://', `${url}.evil.example`])
    await asked('foreign-origin', ['POST /jobs HTTP/1.1', host, json, `Origin: ${origin}`], begin);
  await asked('foreign-origin', ['POST /jobs HTTP/1.1', host, json, 'Sec-Fetch-Site: cross-site'], begin);
  // What a page may send unasked.
  for (const type of ['text/plain', 'application/x-www-form-urlencoded', 'multipart/form-data; boundary=x'])
    await asked('other-media-type', ['POST /jobs HTTP/1.1', host, `Content-Type: ${type}`], begin);
  // More than is taken, and what is no JSON.
  await asked('too-large', ['POST /jobs HTTP/1.1', host, json], `{"id":"${'x'.repeat(300_000)}"}`);
  await asked('malformed-body', ['POST /jobs HTTP/1.1', host, json], `${'['.repeat(20_000)}`);
  await asked('malformed-body', ['POST /jobs HTTP/1.1', host, json], '{"__proto__":{"a":1}}');
  await asked('malformed-request', [`GET /jobs HTTP/1.1`, host, `X-Long: ${'x'.repeat(20_000)}`]);
  await asked('malformed-request', ['GET /jobs HTTP/9.9', host]);
  // Names that would lead out of the store or the shelf.
  for (const path of [
    ...['/jobs/..%2f..%2fetc%2fpasswd', '/jobs/%2e%2e', '/jobs/a%00b/facts', '/photographs/..%2fx'],
    ...['/packs/..%2f..%2fetc/1.0.0', '/../../etc/passwd', '/%zz', `/jobs/${'a'.repeat(5000)}`],
  ])
    expect(await raw(url, [`GET ${path} HTTP/1.1`, host]), path).toMatch(/"code":"no-such-[a-z]+"/);
  expect(folderStore(jobs).names()).toEqual([]);

  const begun = await post(`${url}/jobs`, { ...beginning, id: 'begin-0001' });
  const job = String(begun.json['job']);
  const names = [
    '../../x',
    '__proto__',
    'constructor',
    'a/b',
    'CON',
    '\u202Etxt.exe',
    '\u0000',
    ' '.repeat(50),
  ];
  for (const [turn, name] of names.entries()) {
    const given = await post(`${url}/jobs/${job}/commands`, {
      ...{ id: `record-000${turn}`, expectedSeq: 1, by: 'technician A' },
      command: { command: 'record', entry: name, value: '1' },
    });
    expect(given, name).toMatchObject({ status: 422, json: { code: 'refused' } });
    const strange = await post(`${url}/jobs`, { ...beginning, id: `begin-10${turn}`, pack: name });
    expect(strange, name).toMatchObject({ status: 404, json: { code: 'no-such-pack' } });
  }
  // What is said is kept as it was said, and comes to a page as text and to the terminal without its signs.
  const text = '<script>alert(1)</script> \u202E\u001b[2J"\'&amp; {{7*7}} =HYPERLINK("x")';
  const noted = await post(`${url}/jobs/${job}/commands`, {
    ...{ id: 'note-00001', expectedSeq: 1, by: 'technician A', command: { command: 'note', text } },
  });
  expect(noted.json['facts']).toMatchObject([{ fact: { text } }]);
  expect(folderStore(jobs).read(job).facts?.at(-1)?.fact).toMatchObject({ text });
  const card = await (await fetch(`${url}/jobs/${job}/card?form=html`)).text();
  expect(card).toContain('&lt;script&gt;alert(1)&lt;/script&gt;');
  expect(card).not.toContain('<script');
  expect((await get(`${url}/jobs/${job}`)).json).toMatchObject({ seq: 2 });
  expect(readdirSync(folder)).toEqual(['jobs']);
  child.kill('SIGTERM');
  const { how, said } = await ended;
  expect(how).toBe(0);
  // Nothing of this was a defect, and nothing of it stands in what the server says.
  expect(said).not.toMatch(/defect|evil|\n {4}at /);
  expect(readFileSync(join(jobs, `${job}.jsonl`), 'utf8')).not.toContain('\u001b');
});
