import type { Found } from '../comparison.ts';
import { keyWords, listWords, markWords } from './key-words.ts';
import { type Documents, namesInWords, proceduresFor, subject } from './subject.ts';

/** A change in one plain sentence, for somebody who has seen neither revision. */
export function tellChange(change: Found, documents: Documents): string {
  const said = `${subject(change, documents)}: ${predicate(change, documents)}`;
  return /[.!?…]$/.test(said) ? said : `${said}.`;
}

/** What a relation of limits means for values. */
const meaning: Readonly<Record<string, string>> = {
  tightened: '; what was accepted is now refused in part',
  loosened: '; what was refused is now accepted in part',
  shifted: '; some of what was refused is now accepted, and some of what was accepted is refused',
};

function predicate(change: Found, documents: Documents): string {
  const { key, kind, before, after, names } = change;
  const was = before?.says ?? '';
  const is = after?.says ?? '';
  if (names !== undefined && key !== undefined) {
    const isMore = names.some((name) => !was.split(', ').includes(name));
    return `${listWords(key, isMore)}: ${namesInWords(names, change, isMore ? documents.is : documents.was)}`;
  }
  switch (change.change) {
    case 'renamed':
      return `it was called ${was}`;
    case 'moved':
      return `it was done ${was}, and is now done ${is}`;
    case 'variant-added':
      return `this engine is new${forProcedures(documents.is, change.name)}. ${is}`;
    case 'variant-removed':
      return `this engine is gone${forProcedures(documents.was, change.name)}. ${was}`;
    case 'restated':
      return `${phrase(change)} ${wasNow(was, is)}, which is the same value`;
    case 'reworded':
      return `${phrase(change)} ${wasNow(inQuotes(was), inQuotes(is))}, which says the same in other words or has to be read by a person`;
  }
  if (key === undefined) return whole(change);
  const mark = before !== undefined && after !== undefined ? markWords(key, is === 'yes') : undefined;
  if (mark !== undefined && (is === 'yes' || is === 'no')) return mark;
  const tail =
    kind === 'reading' || kind === 'tolerance' || kind === 'stock' ? (meaning[change.change] ?? '') : '';
  if (before === undefined) return `${phrase(change)} is new: ${is}${tail}`;
  if (after === undefined) return `${phrase(change)} is gone; it was ${was}${tail}`;
  return `${phrase(change)} ${wasNow(was, is)}${tail}`;
}

const wasNow = (was: string, is: string): string => `was ${was}, and is now ${is}`;

const inQuotes = (text: string): string => `“${text.replace(/\s+/g, ' ').trim()}”`;

/** What is compared, in words: the limits of a tolerance as one, whichever key they are written under. */
function phrase({ kind, key, variants }: Found): string {
  const limits = ['nominal', 'deviation', 'plus', 'minus', 'between', 'at-least', 'at-most'];
  const where = variants === undefined ? '' : ` for ${variants.join(' and ')}`;
  if (kind === 'tolerance' && key !== undefined && limits.includes(key)) return `the range${where}`;
  if (kind === 'tolerance' && key === 'rule') return 'the decision rule';
  return `${keyWords(key ?? kind)}${where}`;
}

function forProcedures(document: Documents['is'], variant: string): string {
  const some = proceduresFor(document, variant);
  return some.length === 0 ? '' : ` in ${some.join(', ')}`;
}

/** Something as a whole: that it is new, gone or another. */
function whole({ before, after }: Found): string {
  if (before === undefined) return 'it is new';
  if (after === undefined) return 'it is gone';
  return `it said ${inQuotes(before.says)}, and now says ${inQuotes(after.says)}`;
}
