import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import browserHere from '@sparticuz/chromium';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const inRoot = (path: string): string => join(root, path);

describe('the example for Node', () => {
  it('works through a job, meets a refusal, and makes the job again from its facts', () => {
    const run = spawnSync(process.execPath, [inRoot('docs/examples/embed-node.mjs')], { encoding: 'utf8' });
    expect(run.stderr).toBe('');
    const lines = run.stdout.trimEnd().split('\n');
    expect(lines[0]).toMatch(/demonstration/i);
    expect(lines[1]).toMatch(/never says that a job is safe/);
    expect(lines[2]).toMatch(/^refused: "1,234" can be read as/);
    expect(lines.slice(3, -1)).toEqual(
      ['1', '4', '2', '3'].flatMap((bore) => [
        `inlet-limits@${bore}: 0.25 mm, conforming`,
        `exhaust-limits@${bore}: 0.45 mm, conforming`,
      ]),
    );
    expect(lines.at(-1)).toMatch(/^\d+ facts, closed$/);
  });
});

// The browser that the registry carries runs on Linux with x64 alone; tests/browser holds everywhere.
const canBrowse = process.platform === 'linux' && process.arch === 'x64';
describe.runIf(canBrowse)('the example page in Chromium', () => {
  let server: ChildProcess | undefined;
  let browser: Browser | undefined;
  let page: Page;
  const complaints: string[] = [];

  beforeAll(async () => {
    const child = spawn(process.execPath, [inRoot('docs/examples/serve-page.mjs')], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    server = child;
    const address = await new Promise<string>((done, fail) => {
      child.stdout.once('data', (text: Buffer) => done(text.toString().trim()));
      child.once('exit', () => fail(new Error('the page is not served')));
    });
    browser = await chromium.launch({
      executablePath: await browserHere.executablePath(),
      args: browserHere.args,
      headless: true,
    });
    page = await browser.newPage();
    page.on('pageerror', (error) => complaints.push(error.message));
    page.on('console', (line) => complaints.push(line.text()));
    await page.goto(address);
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    server?.kill();
  });

  const text = (id: string): Promise<string | null> => page.textContent(`#${id}`);
  const press = (name: string): Promise<void> => page.getByRole('button', { name }).click();

  it('runs under a policy that forbids code from text', async () => {
    await page.getByRole('button').first().waitFor();
    // In a task of its own: what the test driver itself evaluates is exempt from the policy.
    await page.evaluate(`setTimeout(() => {
      try { document.body.dataset.made = String(new Function('return 1')()); }
      catch (error) { document.body.dataset.made = error.name; }
    })`);
    const made = await page.locator('body[data-made]').getAttribute('data-made');
    expect(made).toBe('EvalError');
    expect(await text('notice')).toMatch(/demonstration/i);
    expect(await page.textContent('body')).toMatch(/never says that a job is safe/);
    complaints.length = 0;
  });

  it('leads through the steps to the first reading, refuses a doubtful number, and takes a good one', async () => {
    for (let step = 0; step < 60 && (await page.locator('input').count()) === 0; step++)
      await page.getByRole('button').first().click();
    expect(await text('title')).toMatch(/inlet valve 1/);
    expect(await text('progress')).toMatch(/^\d+ of \d+ steps\. Crank: /);
    const before = await text('progress');
    await page.fill('input', '1,234');
    await press('Enter');
    expect(await text('answer')).toMatch(/"1.234" or "1234"/);
    expect(await text('progress')).toBe(before);
    await page.fill('input', '0,25');
    await press('Enter');
    expect(await text('answer')).toBe('');
    expect(await text('title')).toMatch(/exhaust valve 1/);
    expect(complaints).toEqual([]);
  });

  it('comes to the end of the job', async () => {
    for (let step = 0; step < 200 && (await text('title')) !== 'Closed'; step++) {
      const input = page.locator('input');
      if ((await input.count()) > 0)
        await input.fill((await input.getAttribute('name'))?.startsWith('inlet') ? '0.25' : '0.45 mm');
      await page.getByRole('button').first().click();
    }
    expect(await text('title')).toBe('Closed');
    expect(complaints).toEqual([]);
  });
});
