import { appendFileSync, cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ferrule, root } from '../cli/ferrule.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(join(root, 'docs/releases.md'), 'utf8');
let home = '';
beforeAll(() => {
  home = mkdtempSync(join(tmpdir(), 'ferrule-'));
  cpSync(join(root, 'specs/valve-clearance'), join(home, 'specs/valve-clearance'), { recursive: true });
  mkdirSync(join(home, 'keys'));
});
afterAll(() => rmSync(home, { recursive: true, force: true }));

const flat = (text: string): string => text.replace(/\s+/g, ' ').trim();

test('the page of releases: every call does what it says, one after the other', () => {
  let answered = '';
  let calls = 0;
  for (const { info, text } of fencedBlocks(page)) {
    if (info === 'yaml policy') {
      // The keys on the page are those of RFC 8032; here are others.
      let policy = text;
      for (const name of ['lead', 'foreman']) {
        const id = ferrule(['key', 'show', `keys/${name}.key.pub`], { cwd: home }).stdout.trim();
        policy = policy.replace(new RegExp(`(  ${name}:\n.*\n    key: ).*`), `$1${id}`);
      }
      writeFileSync(join(home, 'specs/policy.yaml'), policy);
    } else if (info === 'text answer') {
      expect(flat(answered)).toContain(flat(text));
    } else if (info.startsWith('sh')) {
      if (info === 'sh fails')
        appendFileSync(join(home, 'specs/valve-clearance/1.0.0/pack.yaml'), '# wider\n');
      answered = '';
      for (const line of text.trim().split('\n')) {
        const { exitCode, stdout, stderr } = ferrule(line.split(' ').slice(1), { cwd: home });
        expect({ line, exitCode, stderr }).toEqual({
          line,
          exitCode: info === 'sh fails' ? 1 : 0,
          stderr: '',
        });
        answered += stdout;
        calls++;
      }
    }
  }
  expect(calls).toBe(7);
}, 60_000);
