import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, it } from 'vitest';
import { checkPack, ProvenPlans } from '../src/index.ts';

const folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it('proves again what has changed in its plan, a limit too, and nothing else', async () => {
  cpSync(fileURLToPath(new URL('../../cli/template', import.meta.url)), folder, { recursive: true });
  const proven = new ProvenPlans();
  const check = async () => {
    const proved: string[] = [];
    const report = await checkPack(folder, { proven, onProof: (_, variant) => proved.push(variant) });
    return { proved, proofs: report.proofs.length };
  };
  const change = (file: string, from: string, to: string): void => {
    const path = join(folder, file);
    const before = readFileSync(path, 'utf8');
    expect(before).toContain(from);
    writeFileSync(path, before.replace(from, to));
  };
  expect(await check()).toEqual({ proved: ['first-engine', 'second-engine'], proofs: 2 });
  expect(await check()).toEqual({ proved: [], proofs: 2 });
  change('pack.yaml', 'gap-low: 1.45 mm', 'gap-low: 1.46 mm');
  expect(await check()).toEqual({ proved: ['second-engine'], proofs: 2 });
  change('trials/set-gap.yaml', '1.12 mm', '1.13 mm');
  expect(await check()).toEqual({ proved: [], proofs: 2 });
  change('procedures/set-gap.yaml', 'attempts: 3', 'attempts: 4');
  expect((await check()).proved).toEqual(['first-engine', 'second-engine']);
});
