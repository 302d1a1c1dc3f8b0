import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { Rig, scratch } from './rig.ts';

const script = `export const page = '${'ferrule '.repeat(200)}';`;

function pageFolder(): string {
  const folder = scratch();
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Page</title>');
  writeFileSync(join(folder, 'assets', 'index-1.js'), script);
  writeFileSync(join(folder, 'assets', 'index-1.css'), 'p{}');
  writeFileSync(join(folder, 'assets', 'notes.txt'), 'not of the page');
  return folder;
}

/** The files of the page are no part of the interface, so no document describes them. */
const sent = (rig: Rig, url: string, headers: Readonly<Record<string, string>> = {}) =>
  rig.app.inject({ method: 'GET', url, headers: { host: '127.0.0.1:8321', ...headers } });

describe('the page', () => {
  test('is sent at the root, and what it loads under /page/', async () => {
    const rig = new Rig({ page: pageFolder() });
    const { headers, statusCode, body } = await sent(rig, '/');
    expect(statusCode).toBe(200);
    expect(body).toContain('<title>Page</title>');
    expect(headers['content-type']).toBe('text/html; charset=utf-8');
    expect(headers['cache-control']).toBe('no-cache');
    const script = await sent(rig, '/page/assets/index-1.js');
    expect(script.headers['content-type']).toBe('text/javascript; charset=utf-8');
    expect(script.headers['cache-control']).toMatch(/immutable/);
    expect((await sent(rig, '/page/assets/index-1.css')).statusCode).toBe(200);
  });

  test('runs nothing that is not of this server', async () => {
    const rig = new Rig({ page: pageFolder() });
    const policy = String((await sent(rig, '/')).headers['content-security-policy']);
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("style-src 'self'");
    expect(policy).not.toContain('unsafe');
  });

  test('is not sent again to whom has it', async () => {
    const rig = new Rig({ page: pageFolder() });
    const { etag } = (await sent(rig, '/')).headers;
    const again = await sent(rig, '/', { 'if-none-match': String(etag) });
    expect(again).toMatchObject({ statusCode: 304, body: '' });
  });

  // RFC 9110, 12.5.3: a coding with a weight of zero is not acceptable, and a header that is not there says nothing.
  test.each([
    ['gzip, deflate, br', true],
    ['GZIP;q=0.5', true],
    ['br, gzip ; q=1.0', true],
    ['gzip;q=0', false],
    ['gzip;q=0.000, br', false],
    ['br', false],
    ['x-gzip-like', false],
    ['', false],
  ])('to whom takes %o it is sent short: %s', async (accepted, isShort) => {
    const rig = new Rig({ page: pageFolder() });
    const url = '/page/assets/index-1.js';
    const plain = await sent(rig, url);
    const answer = await sent(rig, url, { 'accept-encoding': accepted });
    expect(answer.headers['content-encoding']).toBe(isShort ? 'gzip' : undefined);
    expect(answer.headers['vary']).toContain('accept-encoding');
    const content = isShort ? gunzipSync(answer.rawPayload) : answer.rawPayload;
    expect(content.toString()).toBe(script);
    expect(answer.rawPayload.length < script.length / 4).toBe(isShort);
    // A tag is that of the bytes that were sent (RFC 9110, 8.8.3).
    expect(answer.headers['etag'] === plain.headers['etag']).toBe(!isShort);
    const etag = String(answer.headers['etag']);
    const again = await sent(rig, url, { 'accept-encoding': accepted, 'if-none-match': etag });
    expect(again.statusCode).toBe(304);
  });

  test.each(['/page/assets/notes.txt', '/page/index.html', '/page/..%2f..%2fpackage.json', '/page/'])(
    'has nothing at %s',
    async (url) => {
      const rig = new Rig({ page: pageFolder() });
      expect((await sent(rig, url)).json()['code']).toBe('no-such-address');
    },
  );

  test('comes without the token, and nothing else does', async () => {
    const rig = new Rig({ page: pageFolder(), token: 'x'.repeat(40) });
    expect((await sent(rig, '/')).statusCode).toBe(200);
    expect((await sent(rig, '/page/assets/index-1.js')).statusCode).toBe(200);
    expect((await sent(rig, '/jobs')).json()['code']).toBe('no-token');
  });

  test('is not there where none was built', async () => {
    const rig = new Rig();
    expect((await sent(rig, '/')).json()['code']).toBe('no-such-address');
  });
});
