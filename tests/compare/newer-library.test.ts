import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { ferrule } from '../cli/ferrule.ts';
import { scratch } from '../cli/scratch.ts';

const specs = join(import.meta.dirname, '../../specs');

function replaced(file: string, ...pairs: readonly (readonly [string, string])[]): void {
  let text = readFileSync(file, 'utf8');
  for (const [was, is] of pairs) {
    expect(text).toContain(was);
    text = text.replace(was, is);
  }
  writeFileSync(file, text);
}

interface Compared {
  readonly changes: readonly {
    readonly kind: string;
    readonly name: string;
    readonly effect?: string;
    readonly says: string;
    readonly before?: { readonly place?: { readonly file: string } };
    readonly after?: { readonly place?: { readonly file: string } };
  }[];
}

/** A shelf with a pack whose revision 1.1.0 is that of 1.0.0, and takes from a newer revision of one library. */
function shelf(change: (library: string) => void): { readonly older: string; readonly newer: string } {
  const folder = scratch();
  for (const name of ['marram-timing-shims', 'harbour-workshop', 'marram-engines'])
    cpSync(join(specs, name, '1.0.0'), join(folder, name, '1.0.0'), { recursive: true });
  const [older, newer] = ['1.0.0', '1.1.0'].map((one) => join(folder, 'marram-timing-shims', one));
  const library = join(folder, 'harbour-workshop', '1.1.0');
  if (older === undefined || newer === undefined) throw new Error('there are two');
  cpSync(older, newer, { recursive: true });
  cpSync(join(specs, 'harbour-workshop', '1.0.0'), library, { recursive: true });
  replaced(join(library, 'library.yaml'), ['revision: 1.0.0', 'revision: 1.1.0']);
  change(library);
  const [pinned = ''] = /harbour-workshop: .*/.exec(readFileSync(join(newer, 'pack.yaml'), 'utf8')) ?? [];
  const [digest = ''] = /sha256:[0-9a-f]{64}/.exec(pinned) ?? [];
  const pin = pinned.replace('1.0.0', '1.1.0');
  replaced(join(newer, 'pack.yaml'), ['revision: 1.0.0', 'revision: 1.1.0'], [pinned, pin]);
  // The digest of the newer one is what a check says that it is.
  const { stdout } = ferrule(['check', newer]);
  const [, found = ''] = /its digest is (sha256:[0-9a-f]{64})/.exec(stdout) ?? [];
  expect(found).not.toBe('');
  replaced(join(newer, 'pack.yaml'), [pin, pin.replace(digest, found)]);
  return { older, newer };
}

const compared = (older: string, newer: string): Compared =>
  JSON.parse(ferrule(['compare', '--without-behaviour', '--format', 'json', older, newer]).stdout);

test('what a newer library says otherwise is a change of the pack, where it is used and nowhere else', () => {
  const { older, newer } = shelf((library) =>
    replaced(
      join(library, 'library.yaml'),
      ['  turning-crankshaft:\n    signal: warning', '  turning-crankshaft:\n    signal: caution'],
      ['It has stood for at least four hours', 'It has stood for four hours at least'],
      // Of these the pack takes nothing.
      ['  fuel-mist:\n    signal: danger', '  fuel-mist:\n    signal: notice'],
    ),
  );
  const { changes } = compared(older, newer);
  expect(
    changes.map(({ kind, name, effect, before, after }) => [
      ...[kind, name, effect, before?.place?.file, after?.place?.file],
    ]),
  ).toEqual([
    ['hazard', 'turning-crankshaft', 'weaker', ...both('library.yaml')],
    ['condition', 'engine-cold', undefined, ...both('library.yaml')],
    ['library', 'harbour-workshop', undefined, 'pack.yaml', 'pack.yaml'],
  ]);
  expect(changes[0]?.says).toContain('the signal word was warning, and is now caution');
  const { stdout, exitCode } = ferrule(['compare', '--without-behaviour', older, newer]);
  expect(stdout).toContain('One change protects less.');
  expect(stdout).toContain('with harbour-workshop 1.1.0, marram-engines 1.0.0');
  // The older text is found in the older library, and the newer one in the newer.
  for (const revision of ['1.0.0', '1.1.0'])
    expect(stdout).toMatch(new RegExp(`/harbour-workshop/${revision}/library\\.yaml:44:13`));
  // The number and the changelog of the pack own up to nothing of it.
  expect(exitCode).toBe(1);
});

test('a newer library that comes to the same is named, and nothing else is', () => {
  const { older, newer } = shelf((library) =>
    replaced(join(library, 'library.yaml'), ['hazards:\n', '# Moved by a line.\nhazards:\n']),
  );
  const { changes } = compared(older, newer);
  expect(changes.map(({ kind, says }) => [kind, says])).toEqual([
    [
      'library',
      expect.stringContaining('took from harbour-workshop 1.0.0, and now takes from harbour-workshop 1.1.0'),
    ],
  ]);
});

test('a library that was edited under its revision is refused before anything is compared', () => {
  const { older, newer } = shelf(() => undefined);
  const library = join(newer, '../../harbour-workshop/1.1.0/library.yaml');
  replaced(library, ['four hours', 'two hours']);
  const { stdout, stderr, exitCode } = ferrule(['compare', '--without-behaviour', older, newer]);
  expect(stdout).toContain('library-digest');
  expect(stderr).toContain('Nothing was compared.');
  expect(exitCode).toBe(1);
});

/** The places of what stands in both revisions of the library, from the folder of the pack. */
function both(file: string): readonly string[] {
  return ['1.0.0', '1.1.0'].map((one) => `../../harbour-workshop/${one}/${file}`);
}
