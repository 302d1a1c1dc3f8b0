import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Diagnostic } from '@ferrule/engine';
import { load } from 'js-yaml';

/** One edit of a file, as an author would make it in an editor. */
export type Edit = { readonly file: string } & (
  | { readonly replace: string; readonly with: string; readonly from?: string }
  | { readonly remove: string; readonly from?: string }
  | { readonly insert: string; readonly before: string; readonly from?: string }
  | { readonly insert: string; readonly after: string; readonly from?: string }
  | { readonly move: string; readonly before: string; readonly from?: string }
  | { readonly move: string; readonly after: string; readonly from?: string }
  | { readonly whole: string }
  | { readonly rename: string }
);

/** A single mistake of an author against a valid pack, and what `check` must say of it, and where. */
export interface Defect {
  readonly defect: string;
  /** How the author came to err. */
  readonly says: string;
  readonly pack: string;
  readonly patch: readonly Edit[];
  /** Code of the diagnostic. */
  readonly finds: string;
  /** The line, by a text that stands on it after the patch; the first after `from` where that is given. */
  readonly at: { readonly file: string; readonly line?: string; readonly from?: string };
  /** What the message or the remedy must name, such as the name that was meant. */
  readonly tells?: string;
  /** Codes that may come along, as consequences. */
  readonly also?: readonly string[];
  /** Why it is not told yet. */
  readonly pending?: string;
}

/** Codes that do not always say yet what to do. A code leaves this list when it does. */
const withoutRemedy: ReadonlySet<string> = new Set([
  'bad-quantity',
  'crank-data',
  'duplicate-name',
  'missing-key',
  'never-taken',
  'no-verb',
  'reversed-pair',
  'wrong-form',
  'wrong-quantity',
  'wrong-value',
]);

/** Codes that the proof alone finds. */
const proved: ReadonlySet<string> = new Set([
  'law-broken',
  'wrong-end',
  'dead-end',
  'unreachable',
  'never-parked',
  'relied-unjudged',
  'unfinished-proof',
]);

/** Whether a defect is found by the proof, which takes longer than everything else that is looked at. */
export const needsProof = ({ finds }: Defect): boolean => proved.has(finds);

/** Every defect of the corpus, in the order of the files. */
export function readDefects(): readonly Defect[] {
  const folder = import.meta.dirname;
  const files = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  return files.sort().flatMap((name) => load(readFileSync(join(folder, name), 'utf8')) as readonly Defect[]);
}

/** The texts of a pack after an edit, by the paths of their files. */
export function edited(texts: ReadonlyMap<string, string>, edit: Edit): ReadonlyMap<string, string> {
  const result = new Map(texts);
  if ('whole' in edit) return result.set(edit.file, edit.whole);
  const text = texts.get(edit.file);
  if (text === undefined) throw new Error(`there is no file ${edit.file}`);
  if ('rename' in edit) {
    result.delete(edit.file);
    return result.set(edit.rename, text);
  }
  return result.set(edit.file, editText(text, edit));
}

function editText(text: string, edit: Exclude<Edit, { whole: string } | { rename: string }>): string {
  if ('replace' in edit) {
    const found = find(text, edit.replace, edit.from);
    return text.slice(0, found.start) + indented(edit.with, found.indent) + text.slice(found.end);
  }
  if ('remove' in edit) return without(text, edit.remove, edit.from);
  if ('insert' in edit) return inserted(text, edit.insert, edit);
  return inserted(without(text, edit.move, edit.from), edit.move, { ...edit, from: undefined });
}

/** A text without a part of it; whole lines go with their ends. */
function without(text: string, part: string, from: string | undefined): string {
  const { start, end, indent } = find(text, part, from);
  const isWhole = text.slice(start - indent.length - 1, start) === `\n${indent}` && text[end] === '\n';
  return isWhole
    ? text.slice(0, start - indent.length) + text.slice(end + 1)
    : text.slice(0, start) + text.slice(end);
}

function inserted(
  text: string,
  lines: string,
  place: ({ readonly before: string } | { readonly after: string }) & { readonly from?: string | undefined },
): string {
  const { start, end, indent } = find(text, 'before' in place ? place.before : place.after, place.from);
  if ('before' in place) {
    const at = text.lastIndexOf('\n', start - 1) + 1;
    return `${text.slice(0, at)}${indent}${indented(lines, indent)}\n${text.slice(at)}`;
  }
  const at = text.indexOf('\n', end) + 1;
  return `${text.slice(0, at)}${indent}${indented(lines, indent)}\n${text.slice(at)}`;
}

/** Where a part stands: once in the text, or first after another one. Its further lines are indented as its first. */
function find(text: string, part: string, from: string | undefined) {
  const start = from === undefined ? 0 : find(text, from, undefined).end;
  const [first = ''] = part.split('\n');
  const found = [];
  for (let at = text.indexOf(first, start); at >= 0; at = text.indexOf(first, at + 1)) {
    const line = text.slice(text.lastIndexOf('\n', at - 1) + 1, at);
    const indent = /^ */.exec(line)?.[0] ?? '';
    const whole = indented(part, indent);
    if (text.startsWith(whole, at)) found.push({ start: at, end: at + whole.length, indent });
  }
  const [one] = found;
  if (one === undefined) throw new Error(`not found: ${part}`);
  if (from === undefined && found.length > 1) throw new Error(`found ${found.length} times: ${part}`);
  return one;
}

function indented(text: string, indent: string): string {
  return text.replaceAll(/\n(?=[^\n])/g, `\n${indent}`);
}

/** What is wrong with the diagnostics for a defect; nothing if the author is told what they must be told. */
export function shortcomings(
  { finds, at, tells = '', also = [] }: Defect,
  diagnostics: readonly Diagnostic[],
  texts: ReadonlyMap<string, string>,
): readonly string[] {
  const line = at.line === undefined ? undefined : lineOf(texts.get(at.file) ?? '', at.line, at.from);
  const isMeant = ({ code, span }: Diagnostic): boolean =>
    code === finds && span?.file === at.file && (line === undefined || span.line === line);
  const meant = diagnostics.filter(isMeant);
  const faults: string[] = [];
  if (meant.length === 0) {
    faults.push(`no ${finds} at ${at.file}:${line ?? '?'}`);
    faults.push(...diagnostics.map((one) => `instead ${shown(one)}`));
    return faults;
  }
  if (meant.length > 3) faults.push(`${meant.length} times ${finds}`);
  for (const one of meant) {
    if (one.message.trim() === '') faults.push(`no message: ${shown(one)}`);
    if (!`${one.message} ${one.remedy ?? ''}`.includes(tells))
      faults.push(`does not say ${tells}: ${shown(one)}`);
    if ((one.remedy ?? '').trim() === '' && !withoutRemedy.has(one.code))
      faults.push(`no remedy: ${shown(one)}`);
  }
  for (const one of diagnostics)
    if (!isMeant(one) && !also.includes(one.code)) faults.push(`besides ${shown(one)}`);
  return faults;
}

function lineOf(text: string, part: string, from: string | undefined): number {
  return text.slice(0, find(text, part, from).start).split('\n').length;
}

const shown = ({ code, span, severity, message, remedy }: Diagnostic): string =>
  `${severity} ${code} ${span?.file}:${span?.line} ${message}${remedy === undefined ? '' : ` -> ${remedy}`}`;
