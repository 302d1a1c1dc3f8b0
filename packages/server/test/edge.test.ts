import { expect, test } from 'vitest';
import { beginning } from './beginning.ts';
import { Rig, raw } from './rig.ts';

test.each(['evil.example', '127.0.0.1', '127.0.0.1:80', 'localhost:8322', '127.0.0.1:8321.evil.example', ''])(
  'the host %j is none of its names',
  async (host) => {
    const rig = new Rig();
    const { status, json } = await rig.get('/jobs', { headers: { host } });
    expect({ status, json }).toMatchObject({ status: 421, json: { code: 'wrong-host' } });
  },
);

test.each(['127.0.0.1:8321', 'localhost:8321', 'LOCALHOST:8321', '[::1]:8321', 'workshop.example'])(
  'the host %j is one of its names',
  async (host) => {
    const rig = new Rig({ names: ['workshop.example'] });
    expect((await rig.get('/jobs', { headers: { host } })).status).toBe(200);
  },
);

test.each([
  'http://evil.example',
  'null',
  'https://127.0.0.1:9999',
  'http://127.0.0.1:8321.evil.example',
  'file://',
])('a page of %j is turned away', async (origin) => {
  const rig = new Rig();
  const { status, json } = await rig.post('/jobs', beginning, { headers: { origin } });
  expect({ status, json }).toMatchObject({ status: 403, json: { code: 'foreign-origin' } });
  expect(rig.store.names()).toEqual([]);
});

test('what a browser sends for a page of another site is turned away, and a link is followed', async () => {
  const rig = new Rig();
  const site = (mode: string) => ({ headers: { 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': mode } });
  expect((await rig.get('/jobs', site('no-cors'))).status).toBe(403);
  expect((await rig.get('/jobs', site('navigate'))).status).toBe(200);
  expect((await rig.get('/jobs', { headers: { origin: 'http://localhost:8321' } })).status).toBe(200);
});

test('no answer lets another origin read it', async () => {
  const rig = new Rig();
  for (const headers of [{ origin: 'http://evil.example' }, { origin: 'http://127.0.0.1:8321' }]) {
    const answer = await rig.get('/jobs', { headers });
    expect(Object.keys(answer.headers).filter((name) => name.startsWith('access-control'))).toEqual([]);
  }
});

const token = 'Zk3v-8Qd0r_1xYb7LmN5tGh2PwEj9sUa';

test('a token is asked for, and only the right one is taken', async () => {
  const rig = new Rig({ token });
  const as = (authorization?: string) =>
    rig.get('/jobs', authorization === undefined ? {} : { headers: { authorization } });
  expect(await as()).toMatchObject({
    status: 401,
    json: { code: 'no-token' },
    headers: { 'www-authenticate': 'Bearer' },
  });
  for (const wrong of [
    `Bearer ${token}x`,
    `Bearer ${token.slice(1)}`,
    `Basic ${token}`,
    'Bearer',
    `Bearer  ${token} x`,
  ])
    expect((await as(wrong)).status, wrong).toBe(401);
  expect((await as(`Bearer ${token}`)).status).toBe(200);
  expect((await as(`bearer ${token}`)).status).toBe(200);
  const { paths, security } = Object(await rig.document());
  expect(paths).toHaveProperty('/jobs');
  expect(security).toEqual([{ token: [] }]);
});

test('whoever tries tokens has to wait', async () => {
  const rig = new Rig({ token, limits: { wrongTokens: 3 } });
  const tries: number[] = [];
  for (let turn = 0; turn < 5; turn++)
    tries.push((await rig.get('/jobs', { headers: { authorization: 'Bearer x' } })).status);
  expect(tries).toEqual([401, 401, 401, 429, 429]);
  expect((await rig.get('/jobs', { headers: { authorization: `Bearer ${token}` } })).status).toBe(200);
});

test('more requests than are taken from one address have to wait', async () => {
  const rig = new Rig({ limits: { requests: 2 } });
  expect([(await rig.get('/jobs')).status, (await rig.get('/jobs')).status]).toEqual([200, 200]);
  const { status, json, headers } = await rig.get('/jobs');
  expect({ status, json }).toMatchObject({ status: 429, json: { code: 'too-many-requests' } });
  expect(Number(headers['retry-after'])).toBeGreaterThan(0);
});

test('every answer has a policy that loads and runs nothing', async () => {
  const rig = new Rig();
  for (const url of ['/jobs', '/nowhere', '/openapi.json', '/packs/x/1.0.0']) {
    const { headers } = await rig.get(url);
    expect(headers['content-security-policy']).toMatch(/^default-src 'none';/);
    expect(headers['x-content-type-options']).toBe('nosniff');
    expect(headers['cache-control']).toBe('no-store');
  }
  const url = '/packs/valve-clearance/1.0.0/sheet?procedure=set-clearances&variant=marram-four';
  const { headers, text } = await rig.get(url);
  const policy = String(headers['content-security-policy']);
  expect(policy).toMatch(/^default-src 'none'; style-src 'sha256-[A-Za-z0-9+/]{43}='; /);
  expect(policy).not.toContain('unsafe');
  expect(text).toContain('<style>');
  expect(text).not.toMatch(/ style="/);
});

test.each([
  ['no JSON', '{"id": '],
  ['a key that reaches the prototype', '{"__proto__":{"a":1}}'],
  ['a constructor that does', '{"constructor":{"prototype":{"a":1}}}'],
  ['nothing', ''],
])('%s is no body', async (_name, payload) => {
  const rig = new Rig();
  const headers = { 'content-type': 'application/json' };
  const { status, json } = await rig.call({ method: 'POST', url: '/jobs', payload, headers });
  expect({ status, json }).toMatchObject({ status: 400, json: { code: 'malformed-body' } });
  expect(Object.hasOwn(Object.prototype, 'a')).toBe(false);
});

test.each([
  ['lists', '['],
  ['objects', '{"a":'],
])('a body of %s inside one another without end is turned away', async (_name, open) => {
  const rig = new Rig();
  const close = open === '[' ? ']' : '}';
  const payload = `${open.repeat(40_000)}1${close.repeat(40_000)}`;
  const inside = `{"id":"note-00001","expectedSeq":1,"by":"technician A","command":${open.repeat(20_000)}1${close.repeat(20_000)}}`;
  const headers = { 'content-type': 'application/json' };
  for (const body of [payload, inside]) {
    const { status } = await rig.call({ method: 'POST', url: '/jobs/a/commands', payload: body, headers });
    expect(status).toBe(400);
  }
  expect(rig.defects).toEqual([]);
});

test('a body that is larger than is taken is turned away', async () => {
  const rig = new Rig();
  const job = await rig.begin();
  const { status, json } = await rig.give(job, 'note-00001', 1, {
    command: 'note',
    text: 'x'.repeat(300_000),
  });
  expect({ status, json }).toMatchObject({
    status: 413,
    json: { code: 'too-large', operands: { limit: 262_144 } },
  });
  const said = await raw(
    rig,
    `POST /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nContent-Type: application/json\r\nContent-Length: 99999999\r\nConnection: close\r\n\r\n{`,
  );
  expect(said).toMatch(/^HTTP\/1\.1 413 /);
});

test('text and forms, which any page may send, are taken nowhere', async () => {
  const rig = new Rig();
  for (const type of [
    'text/plain',
    'application/x-www-form-urlencoded',
    'multipart/form-data',
    'image/png',
  ]) {
    const headers = { 'content-type': type };
    const { status, json } = await rig.call({ method: 'POST', url: '/jobs', payload: '{}', headers });
    expect({ status, json }).toMatchObject({ status: 415, json: { code: 'other-media-type' } });
  }
});

test.each([
  '/jobs/..%2f..%2fetc%2fpasswd',
  '/jobs/%2e%2e/facts',
  '/jobs/x%00y',
  '/jobs/con',
  '/jobs/a%5c..%5cb',
  '/photographs/..%2f..%2fetc%2fpasswd',
  '/photographs/sha256:..%2f..%2fx',
  '/packs/..%2f..%2fetc/1.0.0',
  '/packs/valve-clearance/..%2f..%2fvalve-clearance%2f1.0.0',
  '/packs/harbour-workshop/1.0.0',
  '/problems/..%2f..%2fpackage.json',
  '/%zz',
  `/jobs/${'a'.repeat(500)}`,
])('%s leads nowhere', async (url) => {
  const rig = new Rig();
  const { status, json, text } = await rig.get(url);
  expect(status).toBe(404);
  expect(String(json['code'])).toMatch(/^no-such-/);
  expect(text).not.toContain(rig.folder);
  expect(rig.defects).toEqual([]);
});

test('what is no request is answered all the same', async () => {
  const rig = new Rig();
  expect(await raw(rig, 'EHLO workshop\r\n\r\n')).toMatch(
    /^HTTP\/1\.1 400 [\s\S]*"code":"malformed-request"/,
  );
  const long = `GET /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nX-Long: ${'x'.repeat(20_000)}\r\n\r\n`;
  expect(await raw(rig, long)).toMatch(/"code":"malformed-request"/);
  expect(await raw(rig, 'GET /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nConnection: close\r\n\r\n')).toMatch(
    /^HTTP\/1\.1 200 /,
  );
});

const ownHost = 'Host: 127.0.0.1:PORT\r\n';
const body = (text: string, more = ''): string =>
  `Content-Type: application/json\r\nContent-Length: ${text.length}\r\n${more}\r\n${text}`;

test.each([
  ['no Host', 'GET /jobs HTTP/1.1\r\nConnection: close\r\n\r\n', 400, 'malformed-request'],
  ['no Host, with a body', `POST /jobs HTTP/1.1\r\n${body('{}')}`, 400, 'malformed-request'],
  ['no Host in HTTP/1.0', 'GET /jobs HTTP/1.0\r\n\r\n', 421, 'wrong-host'],
  ['two Hosts', `GET /jobs HTTP/1.1\r\n${ownHost}Host: evil.example\r\n\r\n`, 400, 'malformed-request'],
  ['two Hosts alike', `GET /jobs HTTP/1.1\r\n${ownHost}${ownHost}\r\n`, 400, 'malformed-request'],
  [
    'an Expect of something',
    `GET /jobs HTTP/1.1\r\n${ownHost}Expect: 200-ok\r\n\r\n`,
    417,
    'expectation-failed',
  ],
  [
    'such an Expect with a body',
    `POST /jobs HTTP/1.1\r\n${ownHost}${body('{}', 'Expect: x\r\n')}`,
    ...([417, 'expectation-failed'] as const),
  ],
  ['CONNECT', 'CONNECT 127.0.0.1:PORT HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\n\r\n', 405, 'method-not-allowed'],
  ['CONNECT elsewhere', 'CONNECT evil.example:443 HTTP/1.1\r\n\r\n', 405, 'method-not-allowed'],
  [
    'a packed body',
    `POST /jobs HTTP/1.1\r\n${ownHost}${body('{}', 'Content-Encoding: gzip\r\n')}`,
    ...([415, 'other-content-coding'] as const),
  ],
  [
    'a body packed twice, in pieces',
    `POST /records HTTP/1.1\r\n${ownHost}Content-Type: application/json\r\nContent-Encoding: identity, BR\r\nTransfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n`,
    ...([415, 'other-content-coding'] as const),
  ],
] as const)('a request with %s is told what is wrong with it', async (_name, bytes, status, code) => {
  const rig = new Rig({ limits: { idleTime: 200 } });
  const answer = await raw(rig, bytes);
  const [head = '', ...rest] = answer.split('\r\n\r\n');
  expect(head).toMatch(new RegExp(`^HTTP/1\\.1 ${status} `));
  expect(head).toMatch(/^content-type: application\/problem\+json\r?$/im);
  expect(JSON.parse(rest.join(''))).toMatchObject({
    ...{ code, status, type: `/problems/${code}` },
    remedy: expect.any(String),
  });
  // RFC 9110, 15.5.6 and 12.5.3: what is taken instead.
  if (status === 405) expect(head).toMatch(/^allow: GET, HEAD, POST\r?$/im);
  if (status === 415) expect(head).toMatch(/^accept-encoding: identity\r?$/im);
  expect(rig.store.names()).toEqual([]);
  expect(rig.defects).toEqual([]);
});

test.each([
  ['a body in the coding that is none', body('{}', 'Content-Encoding: identity\r\n'), 400],
  ['100-continue', body('{}', 'Expect: 100-continue\r\n'), 400],
] as const)('%s is taken', async (_name, rest, status) => {
  const rig = new Rig();
  const answer = await raw(rig, `POST /jobs HTTP/1.1\r\n${ownHost}Connection: close\r\n${rest}`);
  expect(answer).toMatch(new RegExp(`HTTP/1\\.1 ${status} [\\s\\S]*"code":"invalid-request"`));
});

test('a coding that is named where there is no body is no matter', async () => {
  const rig = new Rig();
  expect((await rig.get('/jobs', { headers: { 'content-encoding': 'gzip' } })).status).toBe(200);
});

test('a request that does not come to its end is given up', async () => {
  const rig = new Rig({ limits: { headersTime: 300, requestTime: 600 } });
  const slow =
    'POST /jobs HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{"id"';
  expect(await raw(rig, slow, 8000)).toMatch(/^HTTP\/1\.1 408 [\s\S]*"code":"request-too-slow"/);
  expect(await raw(rig, 'GET /jobs HTTP/1.1\r\nHost: ', 8000)).toMatch(/^HTTP\/1\.1 408 /);
});
