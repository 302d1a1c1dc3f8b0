import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));

/** Files that git tracks; without git, all that is not made by a tool. */
function trackedFiles(): readonly string[] {
  try {
    const listed = execFileSync('git', ['ls-files', '-z'], {
      cwd: root,
      encoding: 'utf8',
      stdio: ['ignore', 'pipe', 'ignore'],
    });
    return listed
      .split('\0')
      .filter(
        (file) => file !== '' && statSync(join(root, file), { throwIfNoEntry: false })?.isFile() === true,
      );
  } catch {
    const made = /(?:^|\/)(?:node_modules|dist|coverage|\.git)(?:\/|$)/;
    return readdirSync(root, { withFileTypes: true, recursive: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name).slice(root.length).replaceAll('\\', '/'))
      .filter((file) => !made.test(file));
  }
}

const files = trackedFiles();
const textOf = (file: string): string => readFileSync(join(root, file), 'utf8');
const isText = (text: string): boolean => !text.includes('\0');

/** What no file may hold. The patterns are written so that they do not find themselves. */
const unwanted: readonly (readonly [string, RegExp])[] = [
  ['a path of some machine', /(?<![\w.*-])\/(?:work|tmp|home|root|Users|var\/folders)\/\w|\b[A-Z]:\\Users\\/],
  [
    'the host of a package registry',
    /\bregistry\.(?:npmjs|yarnpkg|npmmirror)\b|\b(?:artifactor[y]|verdacci[o])\b|:48[7]3\b/i,
  ],
  ['work left over', /\b(?:TO[D]O|FIX[M]E|XX[X]|HAC[K])\b/],
  ['a test that is left out or run alone', /\b(?:it|test|describe)(?:\.\w+)*\.(?:skip|only|todo|fails)\b/],
];

/** The lines that speak of left-over work in the packs of others: what the diagnostic looks for, and its cases. */
const spokenOf: readonly (readonly [file: string, line: RegExp])[] = [
  ['packages/check/src/diagnostics/unwritten-text.ts', /^const marked = \/\\b\(\?:[A-Z[\]|+]+\)\\b\/;$/],
  ['packages/check/test/diagnostics/unwritten-text.yaml', /^over: .*\{ step: after, do: [A-Z]{4} \}/],
];
const isSpokenOf = (file: string, line: string): boolean =>
  spokenOf.some(([where, pattern]) => where === file && pattern.test(line.trim()));

/** What a file holds that it may not, with line numbers. */
function findings(file: string, text: string): readonly string[] {
  return text
    .split('\n')
    .flatMap((line, index) =>
      unwanted
        .filter(([, pattern]) => pattern.test(line) && !isSpokenOf(file, line))
        .map(([what]) => `${file}:${index + 1}: ${what}: ${line.trim().slice(0, 80)}`),
    );
}

const deferral =
  "Ferrule never says that a job is safe. The engine maker's instructions, local codes and qualified people come first.";
const flat = (text: string): string => text.replace(/\s+(?:>\s*)?/g, ' ').replaceAll('’', "'");

/** Where a lock file would take a package from that is neither this checkout nor the public registry. */
function privateAddresses(lock: string): readonly string[] {
  return [...lock.matchAll(/"resolved":\s*"([^"]*)"/g)]
    .flatMap((match) => match[1] ?? [])
    .filter((address) => !/^packages\/[a-z-]+$|^https:\/\/registry\.(?:npmjs)\.org\//.test(address));
}

/** Whether a pack's manifest says on its face that its values are for demonstration. */
const saysDemonstration = (manifest: string): boolean =>
  /demonstration/i.test(/^notice:.*(?:\n[ \t]+.*)*/m.exec(manifest)?.[0] ?? '');

describe('prose', () => {
  it('has no machine path, registry host, left-over work or switched-off test', () => {
    expect(files.length).toBeGreaterThan(30);
    const found = files
      .filter((file) => file !== 'package-lock.json')
      .flatMap((file) => {
        const text = textOf(file);
        return isText(text) ? findings(file, text) : [];
      });
    expect(found).toEqual([]);
  });

  it('lets pass one line each, which is still there', () => {
    const lines = spokenOf.map(([file]) =>
      textOf(file)
        .split('\n')
        .filter((line) => isSpokenOf(file, line)),
    );
    expect(lines.map((found) => found.length)).toEqual(spokenOf.map(() => 1));
  });

  it('defers to the maker, the codes and qualified people on every page', () => {
    expect(files).toContain('README.md');
    const pages = files.filter((file) => /^(?:README\.md|docs\/.*\.md)$/.test(file));
    expect(pages.filter((file) => !flat(textOf(file)).includes(deferral))).toEqual([]);
  });

  it('says of every demonstration pack what it is', () => {
    const manifests = files.filter((file) => /^specs\/[^/]+\/[^/]+\/pack\.yaml$/.test(file));
    expect(manifests).not.toEqual([]);
    expect(manifests.filter((file) => !saysDemonstration(textOf(file)))).toEqual([]);
  });

  it('locks no package to a private address', () => {
    expect(privateAddresses(textOf('package-lock.json'))).toEqual([]);
  });
});

describe('the prose check bites', () => {
  it.each([
    ['a path', ['', 'work', 'main', 'x.ts'].join('/')],
    ['a home', `see ${['', 'home', 'someone', 'x'].join('/')}`],
    ['a Windows home', ['C:', 'Users', 'x'].join('\\')],
    ['a registry', ['registry', 'npmjs', 'org'].join('.')],
    ['left-over work', `// ${'TO'}${'DO'}: later`],
    ['a skipped test', ['it', "skip('x')"].join('.')],
    ['a lonely test', ['describe', 'concurrent', "only('x')"].join('.')],
  ])('on %s', (_, line) => {
    expect(findings('x.ts', `fine\n${line}`)).toHaveLength(1);
    expect(findings('x.ts', `fine\n${line}`)[0]).toMatch(/^x\.ts:2: /);
  });
  it('not on paths inside the checkout', () => {
    expect(
      findings('x.ts', "import '../work/home.ts'; // specs/root/1.0.0, https://example.org/home/page"),
    ).toEqual([]);
  });
  it('on a private address in a lock file', () => {
    const lock = ['https://registry', 'npmjs', 'org/a/-/a-1.0.0.tgz'].join('.');
    expect(privateAddresses(`"resolved": "${lock}"\n"resolved": "packages/cli"`)).toEqual([]);
    expect(privateAddresses('"resolved": "http://mirror.internal/a-1.0.0.tgz"')).toHaveLength(1);
  });
  it('on a pack without a notice', () => {
    expect(saysDemonstration('pack: a\nnotice: All values are demonstration data.\n')).toBe(true);
    expect(saysDemonstration('pack: a\nnotice: >-\n  All values are\n  demonstration data.\n')).toBe(true);
    expect(saysDemonstration('pack: a\ntitle: A demonstration\n')).toBe(false);
    expect(saysDemonstration('notice: Mind the gap.\ntitle: A demonstration\n')).toBe(false);
  });
});
