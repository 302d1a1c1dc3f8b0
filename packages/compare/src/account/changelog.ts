import compare from 'semver/functions/compare.js';
import parse from 'semver/functions/parse.js';

/**
 * What a changelog says of everything between two revisions, paragraph by paragraph and item by item. Where headings name
 * revisions, what stands under those above the older one counts, up to the newer one; of several in one heading the highest
 * counts (`Changes from 1.0.0 to 1.1.0`). Where no heading names any, all of it counts.
 */
export function entriesOf(text: string, before: string, after: string): readonly string[] {
  const entries: string[] = [];
  let current: string[] = [];
  let counts = !headings(text).some((one) => revisionsIn(one).length > 0);
  const close = (): void => {
    if (current.length > 0 && counts) entries.push(current.join(' '));
    current = [];
  };
  let isCode = false;
  for (const line of text.split(/\r?\n/)) {
    if (/^\s*(?:```|~~~)/.test(line)) isCode = !isCode;
    const heading = isCode ? undefined : headingIn(line);
    if (heading !== undefined) {
      close();
      const [highest] = revisionsIn(heading);
      if (highest !== undefined) counts = isBetween(highest, before, after);
      else current.push(heading);
    } else if (/^\s*$/.test(line)) close();
    else {
      if (/^\s*(?:[-*+]|\d+[.)])\s/.test(line)) close();
      current.push(line.trim());
    }
  }
  close();
  return entries;
}

const headingIn = (line: string): string | undefined => /^ {0,3}#{1,6}\s+(.*)$/.exec(line)?.[1];

function headings(text: string): readonly string[] {
  return text.split(/\r?\n/).flatMap((line) => headingIn(line) ?? []);
}

/** The revisions that a heading names, the highest first. */
function revisionsIn(heading: string): readonly string[] {
  const named = heading.match(/\d+\.\d+\.\d+(?:-[0-9A-Za-z.-]*[0-9A-Za-z])?/g) ?? [];
  return named.filter((one) => parse(one) !== null).sort((a, b) => compare(b, a));
}

function isBetween(revision: string, before: string, after: string): boolean {
  if (parse(before) === null || parse(after) === null) return true;
  return compare(revision, before) > 0 && compare(revision, after) <= 0;
}

/** Whether an entry names something: as a whole word, where a dash belongs to a word. */
export function namesIt(entry: string, name: string): boolean {
  const escaped = name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  return new RegExp(`(?<![\\w-])${escaped}(?![\\w-])`).test(entry);
}
