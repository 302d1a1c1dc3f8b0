import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { root, type Served, served } from '../server/served.ts';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(join(root, 'docs/integrators-guide.md'), 'utf8');
const blocks = fencedBlocks(page);
const block = (info: string): string => blocks.find((one) => one.info === info)?.text ?? '';

describe("the integrator's guide", () => {
  let folder: string;
  let scripts: string;
  let server: Served;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'ferrule-guide-'));
    // Inside of the checkout, where the packages are found by their names.
    scripts = mkdtempSync(join(root, 'node_modules', '.guide-'));
    mkdirSync(join(folder, 'jobs'));
    server = await served(join(folder, 'jobs'));
  });
  afterAll(() => {
    server?.child.kill('SIGKILL');
    for (const one of [folder, scripts]) rmSync(one, { recursive: true, force: true });
  });

  // In this order: the second one looks at what the first has left.
  test.each(['first-job.mjs', 'read-the-store.mjs'])('%s prints what the page says', (name) => {
    const script = join(scripts, name);
    expect(block(`js ${name}`)).not.toBe('');
    writeFileSync(script, block(`js ${name}`));
    const { stdout, stderr, status } = spawnSync(process.execPath, [script], {
      encoding: 'utf8',
      env: { ...process.env, FERRULE: server.url, STORE: join(folder, 'jobs') },
    });
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toBe(block(`text ${name}`));
  });

  test('every problem that it names is one of the interface', async () => {
    const { problems } = await import('@ferrule/server');
    const named = [...page.matchAll(/^\| ((?:`[a-z-]+`(?: \(\d+\))?(?:, )?)+)/gm)].flatMap(([, cell = '']) =>
      [...cell.matchAll(/`([a-z-]+)`/g)].map(([, code]) => code),
    );
    expect(named.length).toBeGreaterThan(7);
    for (const code of named) expect(Object.keys(problems)).toContain(code);
    for (const [, code = '', status = ''] of page.matchAll(/`([a-z-]+)` \((\d{3})\)/g))
      expect([code, Object.entries(problems).find(([one]) => one === code)?.[1].status]).toEqual([
        code,
        Number(status),
      ]);
  });

  test('every page that it leads to is there', () => {
    const links = [...page.matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)].map(([, path = '']) => path);
    expect(links.length).toBeGreaterThan(8);
    for (const path of links) expect(() => readFileSync(join(root, 'docs', path))).not.toThrow();
  });
});
