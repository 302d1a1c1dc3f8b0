import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { type CheckReport, checkPack, runTrials } from '@ferrule/check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fencedBlocks, filesOn } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/leads-guide.md', import.meta.url), 'utf8');
const files = filesOn(page);
const steps = 'overflow-valve/procedures/test-valve.yaml';
const blockOf = (start: string): string =>
  fencedBlocks(page).find(({ info }) => info.startsWith(start))?.text ?? '';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Writes the pack of the page, with another text of its steps where one is given, and checks it. */
function checked(under: string, procedure = files.get(steps) ?? ''): Promise<CheckReport> {
  for (const [path, text] of new Map([...files, [steps, procedure]])) {
    const file = join(folder, under, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text);
  }
  return checkPack(join(folder, under, 'overflow-valve'));
}

const linesOf = (report: CheckReport): readonly string[] =>
  report.diagnostics.map(
    ({ span, severity, code, message }) =>
      `${span?.file}:${span?.line}:${span?.column} ${severity} ${code} ${message}`,
  );

describe('the guide for leads', () => {
  it('makes a pack in which check finds nothing, with instruments that suffice', async () => {
    const report = await checked('good');
    expect(linesOf(report)).toEqual([]);
    expect(report.proofs.map((proof) => proof.exploration.reachesEnd)).toEqual([true]);
    expect(report.gauges.map((one) => [one.tolerance, one.sufficiency])).toEqual([
      ['opening-limits', 'sufficient'],
      ['holding-limit', 'one-limit'],
    ]);
  });

  it('has trials that come to what they expect, for each hold and a law', async () => {
    const { pack, digest } = await checked('tried');
    if (pack === undefined || digest === undefined) throw new Error('the pack cannot be read');
    const results = runTrials(pack, digest);
    expect(results.map((one) => [one.trial, one.failures])).toEqual([
      ['clean', []],
      ['new-spring-helps', []],
      ['new-spring-does-not-help', []],
      ['loses-pressure', []],
      ['gauge-off-under-pressure', []],
    ]);
  });

  it('shows what is found when a step is left out', async () => {
    const step = blockOf(`yaml without ${steps}`);
    const whole = files.get(steps) ?? '';
    expect(whole.split(step)).toHaveLength(2);
    const shown = blockOf('text check').trimEnd().split('\n');
    expect(shown).toHaveLength(1);
    expect(linesOf(await checked('mistake', whole.replace(step, '')))).toContain(shown[0]);
  });
});
