import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { type Diagnostic, diagnosticCodes } from '@ferrule/engine';
import { FAILSAFE_SCHEMA, load } from 'js-yaml';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { diagnosticKinds } from '../../packages/check/src/diagnostics/index.ts';
import { laidOver } from '../../packages/check/test/laid-over.ts';
import { type FencedBlock, fencedBlocks } from './fenced-blocks.ts';

const textAt = (path: string): string => readFileSync(new URL(path, import.meta.url), 'utf8');
const base = textAt('../../packages/check/test/diagnostics-pack.yaml');
const index = textAt('../../docs/diagnostics/README.md');
const pages = new Map(
  diagnosticCodes.map((code) => {
    const path = new URL(`../../docs/diagnostics/${code}.md`, import.meta.url);
    return [code, existsSync(path) ? readFileSync(path, 'utf8') : ''] as const;
  }),
);
const severities = { error: 'Error', warning: 'Warning', note: 'Note' } as const;
const flat = (text: string): string => text.replace(/\s+/g, ' ');

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
  return (await checkPack(folder, { withTrials: true })).diagnostics;
}

/** Faults that the lines on the page bring along because they are so short. */
const besides: readonly string[] = ['unused-name', 'never-judged'];

describe('the pages of diagnostics', () => {
  it('are listed in the order of the codes, each with what its kind says', () => {
    const rows = [...index.matchAll(/^\| \[(.+)\]\((.+)\) \| (.+) \|$/gm)].map((match) => match.slice(1));
    expect(rows).toEqual(diagnosticCodes.map((code) => [code, `${code}.md`, diagnosticKinds[code].says]));
  });

  it('are no more than there are codes', () => {
    const files = readdirSync(new URL('../../docs/diagnostics', import.meta.url));
    expect(files.sort()).toEqual([...diagnosticCodes.map((code) => `${code}.md`), 'README.md'].sort());
  });

  it.each(diagnosticCodes)('say of %s what it is, show it bad and good, and what to do', (code) => {
    const page = pages.get(code) ?? '';
    const { severity, says } = diagnosticKinds[code];
    const [title, what, why] = page.split('\n\n');
    expect(title).toBe(`# ${code}`);
    expect(flat(what ?? '')).toBe(`**${severities[severity]}.** ${says}`);
    expect(why, 'why it matters').toMatch(/^\w/);
    expect(flat(page)).toMatch(/\*\*What to do\.\*\* \w/);
    const blocks = fencedBlocks(page).map(({ info }) => info);
    expect(blocks.filter((info) => / bad/.test(info)).length).toBeGreaterThan(0);
    expect(blocks.filter((info) => / good/.test(info)).length).toBeGreaterThan(0);
  });

  const tried = [...pages].flatMap(([code, page]) =>
    fencedBlocks(page)
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
