import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { resolve, type written } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { folderStore } from '@ferrule/records';
import { createServer } from '@ferrule/server';
import { bundleOf, readPack } from '@ferrule/source';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { copyPack } from '../packs/copy-pack.ts';
import { ferrule } from './ferrule.ts';

/** What a shop may keep in a pack for software of its own: anything, and such as would mean something without the `x-`. */
const own = `x-work-order: { price: '12.50', lines: [on, no, 1.10], <script>: 'alert(1)', hold: ask-the-lead }\n`;

let home = '';
let pack = '';
let plain = '';
beforeAll(() => {
  home = mkdtempSync(join(tmpdir(), 'ferrule-own-'));
  plain = copyPack('valve-clearance/1.0.0', join(home, 'plain'));
  pack = copyPack('valve-clearance/1.0.0', join(home, 'shelf'));
  const file = join(pack, 'pack.yaml');
  // At the top, and inside of a role.
  const text = readFileSync(file, 'utf8').replace(
    '{ title: Technician }',
    '{ title: Technician, x-login: [a, { b: c }] }',
  );
  // At the end, so that every other line stays where it was.
  writeFileSync(file, `${text}\n${own}`);
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

const call = (...words: readonly string[]) => ferrule(words, { cwd: home });

async function opened(folder: string) {
  const { document, diagnostics } = await readPack(folder);
  const checked = validate(document);
  expect([...diagnostics, ...(checked.diagnostics ?? [])]).toEqual([]);
  const { plan } = resolve(checked.pack as written.Pack, {
    procedure: 'set-clearances',
    variant: 'marram-four',
  });
  return { document, plan, digest: bundleOf(document).digest };
}

describe('a key that begins with x-', () => {
  test('is carried, covered by the digest, and makes no other plan', async () => {
    const [without, with_] = await Promise.all([opened(plain), opened(pack)]);
    expect(with_.document).toMatchObject({
      'x-work-order': { price: '12.50', lines: ['on', 'no', '1.10'], '<script>': 'alert(1)' },
      roles: { technician: { 'x-login': ['a', { b: 'c' }] } },
    });
    expect(with_.digest).not.toBe(without.digest);
    expect(JSON.stringify(with_.plan)).toBe(JSON.stringify(without.plan));
  });

  test('is no fault to check, and a job goes the same way', () => {
    expect(call('check', pack).exitCode).toBe(0);
    const tried = (folder: string) => {
      const { exitCode, stdout } = call('trial', folder);
      return [exitCode, stdout.replaceAll(folder, 'PACK')];
    };
    expect(tried(pack)).toEqual(tried(plain));
    expect(tried(pack)[0]).toBe(0);
  });

  test('is part of what a release signs', () => {
    expect(call('key', 'new', 'lead.key').exitCode).toBe(0);
    expect(call('release', pack, '--key', 'lead.key').exitCode).toBe(0);
    expect(call('verify', pack).exitCode).toBe(0);
    const file = join(pack, 'pack.yaml');
    const text = readFileSync(file, 'utf8');
    writeFileSync(file, text.replace("'12.50'", "'0.50'"));
    const broken = call('verify', pack);
    expect(broken.exitCode).toBe(1);
    expect(broken.stdout + broken.stderr).toContain('pack.yaml');
    writeFileSync(file, text);
  });

  test('stays with the job, over HTTP too, and on no card', async () => {
    const store = folderStore(join(home, 'jobs'));
    const app = createServer({ store, packs: [join(home, 'shelf')] });
    const ask = async (method: 'GET' | 'POST', url: string, payload?: object) =>
      app.inject({
        method,
        url,
        headers: { host: '127.0.0.1:8321' },
        ...(payload === undefined ? {} : { payload }),
      });
    const begun = await ask('POST', '/jobs', {
      ...{ id: 'begin-0001', by: 'technician A', pack: 'valve-clearance', revision: '1.0.0' },
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
    expect([begun.statusCode, begun.body]).toEqual([201, expect.any(String)]);
    const { job } = begun.json();
    const { digest } = (await ask('GET', `/jobs/${job}`)).json().pack;
    expect((await ask('GET', `/bundles/${digest}`)).json()['document']['x-work-order']['price']).toBe(
      '12.50',
    );
    const card = await ask('GET', `/jobs/${job}/card`);
    expect(card.statusCode).toBe(200);
    expect(card.body).not.toContain('12.50');
    await app.close();
  });
});
