import { changelogFile } from '@ferrule/source';
import type { Found } from '../comparison.ts';
import type { ComparedAccount, ComparedChange } from '../document/generated/comparison-document.ts';
import { isText, listOf } from '../json.ts';
import { quantityIn } from '../quantities.ts';
import { atPointer } from '../tell/at-pointer.ts';
import type { Documents } from '../tell/subject.ts';
import { entriesOf, namesIt } from './changelog.ts';

/** What there is of a changelog: its text, nothing where a folder has none, or that no folder could be looked in. */
export type Changelog = { readonly text: string | undefined } | undefined;

/** Changes that nobody has to be told of: no work is done, read or decided otherwise for them. */
const isSilent = ({ needs }: ComparedChange): boolean => needs === 'patch' || needs === 'none';

/**
 * What the changelog does not own up to: each change that needs a minor or a major revision and has no entry that names its
 * thing, what came to it or went, and where people or conformity are concerned the value that it has now.
 */
export function accountOf(
  changelog: Changelog,
  { before, after }: { readonly before: string; readonly after: string },
  changes: readonly { readonly found: Found; readonly change: ComparedChange }[],
  documents: Documents,
): ComparedAccount {
  if (changelog === undefined) return { changelog: 'not-looked-at', findings: [] };
  const told = changes.map((one, at) => ({ ...one, at })).filter(({ change }) => !isSilent(change));
  if (changelog.text === undefined)
    return {
      changelog: 'missing',
      findings:
        told.length === 0
          ? []
          : [
              {
                says: `There is no ${changelogFile} beside the manifest of ${after}, and ${told.length === 1 ? 'one change has' : `${told.length} changes have`} to be told there.`,
              },
            ],
    };
  const entries = entriesOf(changelog.text, before, after);
  return {
    changelog: 'read',
    findings: told.flatMap(({ found, change, at }) => {
      const says = silence(entries, found, change, documents);
      return says === undefined ? [] : [{ says: `${changelogFile} ${says}`, change: at }];
    }),
  };
}

/** What no entry says of a change; undefined where one says it all. */
function silence(
  entries: readonly string[],
  found: Found,
  { weight, change, kind, name }: ComparedChange,
  documents: Documents,
): string | undefined {
  const own = nameOf(found);
  const about = entries.filter((entry) => own.some((one) => namesIt(entry, one)));
  const what = `${kind} ${name}`.trim();
  if (about.length === 0) return `does not name ${own[0] ?? what} (${what}, ${change}).`;
  const wanted = [
    ...(found.names ?? []),
    ...(weight === 'safety' || weight === 'conformity' ? valuesOf(found, documents) : []),
  ];
  // Each may stand in an entry of its own, but only in one that is about this thing.
  const missing = wanted.filter((one) => !about.some((entry) => says(entry, one)));
  return missing.length === 0
    ? undefined
    : `names ${own[0] ?? what} (${what}, ${change}), and does not say ${missing.join(', ')}.`;
}

/** The names by which an entry can be about a change: the own name of its thing, and the old one of what was renamed. */
function nameOf({ name, kind, change, before, key }: Found): readonly string[] {
  if (kind === 'pack') return [key ?? 'pack'];
  const own = name.split('/').at(-1) ?? name;
  return change === 'renamed' && before !== undefined ? [own, before.says] : [own];
}

/** The quantities that stand there now, one by one. */
function valuesOf({ after }: Found, { is }: Documents): readonly string[] {
  if (after === undefined) return [];
  return listOf(atPointer(is, after.pointer)).flatMap((one) =>
    isText(one) && quantityIn(one) !== undefined ? [one] : [],
  );
}

/** A name as a word, a value as it is written, whatever spaces stand in it. */
function says(entry: string, wanted: string): boolean {
  const plain = (text: string): string => text.replace(/[\s\u00a0\u202f]+/g, ' ');
  return namesIt(plain(entry), plain(wanted));
}
