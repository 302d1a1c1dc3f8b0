import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { checkPack } from '@ferrule/check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fencedBlocks } from './fenced-blocks.ts';

const page = readFileSync(new URL('../../docs/overlays.md', import.meta.url), 'utf8');
const blocks = fencedBlocks(page);
const whole = blocks.find(({ info }) => info === 'yaml overlay')?.text ?? '';
const pack = new URL('../../specs/valve-clearance/1.0.0', import.meta.url).pathname;
const zeros = `sha256:${'0'.repeat(64)}`;

let folder = '';
let digest = '';
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
  digest = (await checkPack(pack, { withoutProof: true })).digest ?? '';
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** What check says of the pack with this overlay. */
async function checked(text: string) {
  const overlay = join(folder, 'overlay');
  mkdirSync(overlay, { recursive: true });
  writeFileSync(join(overlay, 'overlay.yaml'), text);
  return checkPack(pack, { overlay });
}

describe('the page of overlays', () => {
  it('begins with zeros, and check says what to write', async () => {
    const { diagnostics } = await checked(whole);
    expect(diagnostics.map(({ code }) => code)).toEqual(['overlay-of-another']);
    expect(diagnostics[0]?.remedy).toContain(digest);
  });

  it('shows one that is clean with its proof, and named in what was checked', async () => {
    const { diagnostics, pack: laid, proofs } = await checked(whole.replace(zeros, digest));
    expect(diagnostics).toEqual([]);
    expect(laid?.overlaid).toMatchObject({ overlay: 'lee-quay', over: digest });
    expect(proofs.every(({ exploration }) => exploration.reachesEnd)).toBe(true);
  });

  const refused = blocks.flatMap(({ info, text }) => {
    const [, code] = /^yaml refused (\S+)$/.exec(info) ?? [];
    return code === undefined ? [] : [[code, text] as const];
  });
  it('shows what is refused', () => expect(refused.length).toBeGreaterThan(3));
  const opening = whole.slice(0, whole.indexOf('\nroles:'));
  it.each(refused)('as %s: %s', async (code, text) => {
    const { diagnostics, pack: laid } = await checked(opening.replace(zeros, digest) + text);
    expect(diagnostics.map((one) => one.code)).toEqual([code]);
    expect(laid?.overlaid).toBeUndefined();
  });

  it('names every key that adds something', () => {
    const table = page.slice(page.indexOf('| key |'));
    for (const key of [
      'roles',
      'conditions',
      'hazards',
      'equipment',
      'supplies',
      'instruments',
      'preliminary',
      'cautions',
      'witnesses',
      'hold-points',
      'stricter',
      'finer',
      'trials',
    ])
      expect(table).toContain(`\`${key}\``);
  });
});
