import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { checkPack } from '@ferrule/check';
import type { Diagnostic } from '@ferrule/engine';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Reference, referencesOf } from './references.ts';

const specs = fileURLToPath(new URL('../../specs', import.meta.url));

function filesOf(pack: string): ReadonlyMap<string, string> {
  const root = join(specs, pack);
  const paths = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((one) =>
    one.endsWith('.yaml'),
  );
  return new Map(
    paths.map((path) => [path.replaceAll('\\', '/'), readFileSync(join(root, path), 'utf8')] as const),
  );
}

const tried = new Set<string>();

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'ferrule-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The texts with one letter in the middle of each name changed for another. */
function mistyped(
  files: ReadonlyMap<string, string>,
  names: readonly Reference[],
): ReadonlyMap<string, string> {
  const texts = new Map(files);
  for (const { span, name } of names) {
    const lines = (texts.get(span.file) ?? '').split('\n');
    const line = lines[span.line - 1] ?? '';
    const middle = span.column - 1 + Math.floor(name.length / 2);
    const at = line[middle] === '-' ? middle - 1 : middle;
    lines[span.line - 1] = `${line.slice(0, at)}${line[at] === 'q' ? 'z' : 'q'}${line.slice(at + 1)}`;
    texts.set(span.file, lines.join('\n'));
  }
  return texts;
}

async function said(texts: ReadonlyMap<string, string>): Promise<readonly Diagnostic[]> {
  for (const [path, text] of texts) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  return (await checkPack(folder, { withoutProof: true })).diagnostics;
}

/** Whether a diagnostic at the line of a mistyped name says the name that was meant. */
const isTold = ({ name, span }: Reference, diagnostics: readonly Diagnostic[]): boolean =>
  diagnostics.some(
    (one) =>
      one.span?.file === span.file &&
      one.span.line <= span.line &&
      span.line <= one.span.endLine &&
      `${one.message} ${one.remedy}`.includes(name),
  );

/**
 * One reference of each kind that was not tried yet: where else something of the kind is named, the same code looks at
 * it, however deep it stands in loops and reworks.
 */
function samples(files: ReadonlyMap<string, string>): readonly Reference[] {
  return referencesOf(files).filter(({ kind }) => {
    const flat = kind.replace(/(?:\/(?:steps|cases|otherwise|rework)\/\*)+/g, '/steps');
    if (tried.has(flat)) return false;
    tried.add(flat);
    return true;
  });
}

/** References whose name is not told when these are mistyped at once. */
async function hidden(
  files: ReadonlyMap<string, string>,
  group: readonly Reference[],
): Promise<readonly Reference[]> {
  const diagnostics = await said(mistyped(files, group));
  return group.filter((one) => !isTold(one, diagnostics));
}

/**
 * References whose name is not told when it alone is mistyped. To be quick, some are mistyped at once, those of trials
 * by themselves since a trial is looked at where its job can be followed, and what another one hid is tried again alone.
 */
async function untold(
  files: ReadonlyMap<string, string>,
  references: readonly Reference[],
): Promise<readonly string[]> {
  const isOfTrial = ({ kind }: Reference): boolean => kind.startsWith('/trials/');
  const others = references.filter((one) => !isOfTrial(one));
  const count = Math.ceil(others.length / 12);
  const groups = Array.from({ length: count }, (_, number) =>
    others.filter((_, at) => at % count === number),
  );
  const silent: string[] = [];
  for (const group of [references.filter(isOfTrial), ...groups]) {
    for (const one of await hidden(files, group)) {
      for (const { span, name, kind } of await hidden(files, [one]))
        silent.push(`${span.file}:${span.line}:${span.column} ${name} ${kind}`);
    }
  }
  return silent;
}

describe.each([
  ['valve-clearance/1.0.0', 50],
  ['marram-unit-pumps/1.0.0', 80],
] as const)('a mistyped name in %s', (pack, least) => {
  it('is told at its line, with the name that was meant', async () => {
    const files = filesOf(pack);
    const references = samples(files);
    expect(references.length).toBeGreaterThan(least);
    expect(await untold(files, references)).toEqual([]);
  });
});

describe('the references of a pack', () => {
  it('are found in values, keys and braces, and not in declarations or prose', () => {
    const files = filesOf('valve-clearance/1.0.0');
    const found = referencesOf(files).map(({ name, span }) => `${span.file}:${span.line} ${name}`);
    const lineOf = (file: string, text: string): string =>
      `${file}:${(files.get(file) ?? '').split('\n').findIndex((line) => line.includes(text)) + 1}`;
    const steps = 'procedures/set-clearances.yaml';
    expect(found).toContain(`${lineOf(steps, 'read: inlet-clearance')} inlet-clearance`);
    expect(found).toContain(`${lineOf(steps, 'changes: { cloths: [out, in] }')} cloths`);
    expect(found).toContain(`${lineOf(steps, 'by {stop.rotation} in')} stop`);
    expect(found).toContain(`${lineOf('trials/trials.yaml', 'inlet-limits@1: conforming')} inlet-limits`);
    expect(found).not.toContain(`${lineOf(steps, '  inlet-limits:')} inlet-limits`);
    expect(found).not.toContain(`${lineOf(steps, 'do: Stuff a cloth')} cloth`);
  });
});
