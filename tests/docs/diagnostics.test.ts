import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { type Diagnostic, diagnosticCodes } from '@ferrule/engine';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { laidOver } from '../../packages/check/test/laid-over.ts';
import { type FencedBlock, fencedBlocks } from './fenced-blocks.ts';

const textAt = (path: string): string => readFileSync(new URL(path, import.meta.url), 'utf8');
const base = textAt('../../packages/check/test/diagnostics-pack.yaml');
const sections = new Map(
  textAt('../../docs/diagnostics.md')
    .split(/^### /m)
    .slice(1)
    .map((section) => {
      const end = section.indexOf('\n');
      return [section.slice(0, end).trim(), section.slice(end)] as const;
    }),
);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What check says of a block: `yaml … file` is a whole pack.yaml, other YAML is laid over the small pack. */
async function checked({ info, text }: FencedBlock): Promise<readonly Diagnostic[]> {
  const read = (yaml: string): unknown => load(yaml, { schema: FAILSAFE_SCHEMA });
  const file = info.endsWith(' file') ? base + text : JSON.stringify(laidOver(read(base), read(text)));
  writeFileSync(join(folder, 'pack.yaml'), file);
  return (await checkPack(folder)).diagnostics;
}

/** Faults that the lines on the page bring along because they are so short. */
const besides: readonly string[] = ['unused-name', 'never-judged'];

describe('the page of diagnostics', () => {
  it('has a section for every code, in the order of the list', () => {
    expect([...sections.keys()]).toEqual(diagnosticCodes);
  });

  it.each(diagnosticCodes)('shows %s bad and good', (code) => {
    const blocks = fencedBlocks(sections.get(code) ?? '').map(({ info }) => info);
    expect(blocks.filter((info) => / bad/.test(info)).length).toBeGreaterThan(0);
    expect(blocks.filter((info) => / good/.test(info)).length).toBeGreaterThan(0);
  });

  const tried = [...sections].flatMap(([code, section]) =>
    fencedBlocks(section)
      .filter(({ info }) => info.startsWith('yaml '))
      .map((block) => [code, block.info, block] as const),
  );
  it('tries the lines of most codes', () => {
    expect(new Set(tried.map(([code]) => code)).size).toBeGreaterThan(45);
  });
  it.each(tried)('%s: what stands under %s', async (code, info, block) => {
    const found = await checked(block);
    const codes = found.map((one) => one.code as string);
    if (info.includes('bad')) expect(codes).toContain(code);
    else {
      const other = found.filter((one) => one.severity === 'error' || !besides.includes(one.code));
      expect(other.map((one) => one.code as string)).not.toContain(code);
      expect(found.filter((one) => one.severity === 'error' && !besides.includes(one.code))).toEqual([]);
    }
  });
});
