import type { Found } from '../comparison.ts';
import { isText, mappingOf } from '../json.ts';
import { atPointer } from './at-pointer.ts';
import { differences } from './differences.ts';
import { keyWords, listWords, markWords } from './key-words.ts';
import { type Documents, namesInWords, proceduresFor, subject } from './subject.ts';

/** A change in one plain sentence, for somebody who has seen neither revision. */
export function tellChange(change: Found, documents: Documents): string {
  const said = `${subject(change, documents)}: ${predicate(change, documents)}`;
  return /[.!?…]”?$/.test(said) ? said : `${said}.`;
}

/** What a relation of limits means for values. */
const meaning: Readonly<Record<string, string>> = {
  tightened: '; some of what was accepted is now refused',
  loosened: '; some of what was refused is now accepted',
  shifted: '; some of what was refused is now accepted, and some of what was accepted is now refused',
};

function predicate(change: Found, documents: Documents): string {
  const { key, kind, before, after, names } = change;
  const was = before?.says ?? '';
  const is = after?.says ?? '';
  if (kind === 'trial' || kind === 'library') return besides(change, documents);
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
      return `${phrase(change)} is written otherwise, with the same meaning: it ${wasNow(was, is)}`;
    case 'reworded': {
      const read = change.weight === 'safety' ? '; whether it warns as well, a person has to read' : '';
      return `${phrase(change)} is worded otherwise: it ${wasNow(inQuotes(was), inQuotes(is))}${read}`;
    }
  }
  if (key === undefined) return whole(change);
  const mark = before !== undefined && after !== undefined ? markWords(key, is === 'yes') : undefined;
  if (mark !== undefined && (is === 'yes' || is === 'no')) return mark;
  return `${values(change)}${meaning[change.change] ?? ''}`;
}

/** What was and what is, variant by variant where it is not the same for all of them. */
function values(change: Found): string {
  const { before, after, each } = change;
  const what = phrase(change);
  if (each !== undefined)
    return `${what} ${each.map(({ variant, was, is }) => `for ${variant} ${wasNow(was, is)}`).join('; ')}`;
  const where = change.variants === undefined ? '' : ` for ${change.variants.join(' and ')}`;
  const said = pieces(change);
  if (said !== undefined) return `${what}${where} ${said}`;
  if (before === undefined) return `${what}${where} is new: ${after?.says ?? ''}`;
  if (after === undefined) return `${what}${where} is gone; it was ${before.says}`;
  return `${what}${where} ${wasNow(before.says, after.says)}`;
}

const stateKeys = ['requires', 'only-while', 'starts', 'ends', 'while', 'entering', 'never'];

/** Of a long list of states only what came and what went. */
function pieces({ key = '', before, after }: Found): string | undefined {
  if (!stateKeys.includes(key) || before === undefined || after === undefined) return undefined;
  const was = before.says.split('; ');
  const is = after.says.split('; ');
  if (was.length < 2 || is.length < 2) return undefined;
  const went = was.filter((one) => !is.includes(one)).map((one) => `“${one}”`);
  const came = is.filter((one) => !was.includes(one)).map((one) => `“${one}”`);
  const no = went.length === 0 ? [] : [`no longer includes ${went.join(' and ')}`];
  const also = came.length === 0 ? [] : [`now includes ${came.join(' and ')}`];
  return [...no, ...also].join(' and ');
}

const wasNow = (was: string, is: string): string => `was ${was}, and is now ${is}`;

const inQuotes = (text: string): string =>
  text === '' ? 'nothing' : `“${text.replace(/\s+/g, ' ').trim()}”`;

const limitKeys = ['nominal', 'deviation', 'plus', 'minus', 'between', 'at-least', 'at-most'];

/** What is compared, in words: the limits of a tolerance as one, whichever key they are written under. */
function phrase({ kind, key = '', at }: Found): string {
  if (kind === 'tolerance' && limitKeys.includes(key)) return 'the permitted range';
  if (kind === 'tolerance' && key === 'rule') return 'the decision rule';
  if (kind === 'fact') return 'its value';
  if (kind === 'answer') return 'what it says';
  if (/\/changes$/.test(at.after === '' ? at.before : at.after)) return 'what it makes of a state';
  const isParking = /\/parking$/.test(at.after === '' ? at.before : at.after);
  return isParking ? `for parking the job, ${keyWords(key)}` : keyWords(key);
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

/** A trial or a library: neither is work, and both say something of it. */
function besides({ kind, key = '', before, after }: Found, { was, is }: Documents): string {
  if (kind === 'library') {
    const where = 'what is taken from it is compared where it is used';
    if (before === undefined) return `the pack now takes from it; ${where}`;
    if (after === undefined) return `the pack no longer takes from it; ${where}`;
    return before.says === after.says
      ? `its digest is another, and its revision is not; ${where}`
      : `the pack took from ${before.says}, and now takes from ${after.says}; ${where}`;
  }
  if (before === undefined) return `it is new. ${after?.says ?? ''}`;
  if (after === undefined) return `it is gone. ${before.says}`;
  const found = differences(
    mappingOf(atPointer(was, '/trials'))[key],
    mappingOf(atPointer(is, '/trials'))[key],
  );
  return found.filter(isText).join('; ');
}
