import { nearest } from '../logic/index.ts';
import type { Diagnostic } from './diagnostic.ts';
import type { Pack } from './generated/document.ts';
import { knownForms, knownKeys } from './generated/known-keys.ts';
import { pointerTo, valueAt } from './pointer.ts';
import { Report } from './report.ts';
import { type SchemaError, schemaErrors } from './schema-errors.ts';

export type Validated =
  | { readonly pack: Pack; readonly diagnostics: readonly [] }
  | { readonly pack?: undefined; readonly diagnostics: readonly Diagnostic[] };

/** Holds a document against the written format. Every fault is reported, and one cause once. */
export function validate(document: unknown): Validated {
  if (isOverlay(document)) {
    const report = new Report();
    report.add('unknown-key', '', 'This is an overlay, and no pack.', {
      remedy: 'Name the pack, and lay the overlay over it with --overlay.',
    });
    return { diagnostics: report.diagnostics };
  }
  const diagnostics = faultsIn(document);
  return diagnostics.length === 0 ? { pack: document as Pack, diagnostics: [] } : { diagnostics };
}

/** Holds an overlay against the written format. Whether what it names is there shows when it is laid over its pack. */
export function validateOverlay(document: unknown): readonly Diagnostic[] {
  if (isOverlay(document)) return faultsIn(document);
  const report = new Report();
  report.add('missing-key', '', 'The key overlay is missing here.', {
    remedy: 'Write the name of the overlay under it.',
  });
  return report.diagnostics;
}

const isOverlay = (document: unknown): boolean =>
  typeof document === 'object' && document !== null && 'overlay' in document;

function faultsIn(document: unknown): readonly Diagnostic[] {
  const report = new Report();
  for (const place of crowded(document))
    report.add('wrong-form', place, `At most ${MOST_IN_ONE} may stand here.`);
  if (report.hasErrors) return report.diagnostics;
  const byPlace = new Map<string, SchemaError[]>();
  for (const error of schemaErrors(document)) {
    const here = byPlace.get(error.pointer);
    if (here === undefined) byPlace.set(error.pointer, [error]);
    else here.push(error);
  }
  for (const [place, here] of byPlace) {
    if (report.isFull) break;
    explain(document, place, here, report);
  }
  return report.diagnostics;
}

/** More than any list or map of a pack holds. What is larger is refused before each of its items is looked at. */
const MOST_IN_ONE = 2000;

/** Where lists and maps stand that hold more than that; what an author keeps under keys of his own is not looked at. */
function crowded(document: unknown): readonly string[] {
  const found: string[] = [];
  const waiting: Placed[] = [{ key: '', value: document }];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const { value } = next;
    if (typeof value !== 'object' || value === null) continue;
    const items = Object.entries(value).filter(([key]) => Array.isArray(value) || !key.startsWith('x-'));
    if (items.length > MOST_IN_ONE) found.push(placeOf(next));
    else
      for (const [key, item] of items)
        if (typeof item === 'object') waiting.push({ key, value: item, above: next });
  }
  return found;
}

/** A value with what it stands in; its place is written out only for what is too large. */
interface Placed {
  readonly key: string;
  readonly value: unknown;
  readonly above?: Placed;
}

const placeOf = ({ key, above }: Placed): string =>
  above === undefined ? '' : pointerTo(placeOf(above), key);

function explain(document: unknown, place: string, errors: readonly SchemaError[], report: Report): void {
  const choice = errors.find((error) => error.keyword === 'anyOf' || error.keyword === 'oneOf');
  const inChoice = (error: SchemaError): boolean => error.branch !== '';
  if (choice !== undefined)
    report.add(
      'wrong-form',
      place,
      ...choiceMessage(document, place, errors.filter(inChoice), choice.chosen ?? []),
    );
  const unknown = errors.filter((error) => error.keyword === 'additionalProperties');
  const known =
    unknown.length === 0
      ? []
      : keysOfLike(valueAt(document, place), new Set(unknown.map(({ wanted }) => String(wanted))));
  for (const error of errors) {
    if (report.isFull) return;
    if (error === choice || (choice !== undefined && (inChoice(error) || error.keyword === 'type'))) continue;
    explainOne(document, place, error, known, report);
  }
}

/** A map that fits none of several forms, or more than one: which keys would say which form is meant. */
function choiceMessage(
  document: unknown,
  place: string,
  errors: readonly SchemaError[],
  chosen: readonly number[],
): readonly [message: string, details: { readonly remedy?: string }] {
  const found = valueAt(document, place);
  const keys = typeof found === 'object' && found !== null ? Object.keys(found) : [];
  const missed = new Map<string, string[]>();
  for (const error of errors) {
    if (error.keyword !== 'required') continue;
    missed.set(error.branch, [...(missed.get(error.branch) ?? []), String(error.wanted)]);
  }
  if (missed.size === 0) return [`${written(found)} is not in a form that fits here.`, {}];
  const forms = formsLike(missed) ?? [...missed.values()];
  const all = forms.map((form) => form.join(' with ')).join('; ');
  const several = chosen.map((number) => forms[number]?.join(' with ') ?? '');
  if (several.length > 1) {
    const between = several.includes('at-most') && several.includes('at-least');
    return [
      `More than one of these stands here, ${several.join(' and ')}: ${all}.`,
      { remedy: between ? 'For both sides write between: [lowest, highest].' : 'Keep one of them.' },
    ];
  }
  const flat = forms.flat();
  const slips = keys.flatMap((key) => {
    const meant = flat.includes(key) ? undefined : nearest(key, flat);
    return meant === undefined ? [] : [`Did you mean ${meant} for ${key}?`];
  });
  return [
    `None of the keys that say what this is: ${all}.`,
    { remedy: slips.length === 0 ? 'Write one of them.' : slips.join(' ') },
  ];
}

/** All forms of the choice whose alternatives miss these keys: the faults name only the keys that are not there. */
const formsLike = (
  missed: ReadonlyMap<string, readonly string[]>,
): readonly (readonly string[])[] | undefined =>
  knownForms.find((forms) =>
    [...missed].every(([branch, keys]) => {
      const form = branch.startsWith('oneOf/') ? forms[Number(branch.slice('oneOf/'.length))] : undefined;
      return form !== undefined && keys.every((key) => form.includes(key));
    }),
  );

/** `known` are the keys that a map may have where this one stands. */
function explainOne(
  document: unknown,
  place: string,
  error: SchemaError,
  known: readonly string[],
  report: Report,
): void {
  const { keyword, wanted } = error;
  const found = valueAt(document, place);
  switch (keyword) {
    case 'additionalProperties': {
      const key = String(wanted);
      const meant = nearest(key, known);
      report.add('unknown-key', pointerTo(place, key), `The key ${key} is not known here.`, {
        remedy: unknownKeyRemedy(key, meant),
      });
      return;
    }
    case 'required':
      report.add(
        'missing-key',
        place,
        `The key ${String(wanted)} is missing here.`,
        missingRemedy(String(wanted)),
      );
      return;
    case 'propertyNames': {
      const name = String(wanted);
      report.add(
        'wrong-value',
        pointerTo(place, name),
        `${written(name)} is not written as a name has to be.`,
        {
          remedy: patternRemedy('^[a-z]'),
        },
      );
      return;
    }
    case 'enum': {
      const allowed = typeof wanted === 'object' ? wanted : [];
      const meant = typeof found === 'string' ? nearest(found, allowed) : undefined;
      report.add('wrong-value', place, `${written(found)} is none of ${allowed.join(', ')}.`, {
        ...(meant === undefined ? {} : { remedy: `Did you mean ${meant}?` }),
      });
      return;
    }
    case 'const':
      report.add('wrong-value', place, `${written(found)} stands here, where only ${String(wanted)} may.`, {
        remedy:
          wanted === 'yes'
            ? 'Write yes; where it does not apply, leave the key out.'
            : `Write ${String(wanted)}.`,
      });
      return;
    case 'pattern':
      report.add('wrong-value', place, `${written(found)} is not written as it has to be here.`, {
        remedy: patternRemedy(String(wanted)),
      });
      return;
    case 'type':
      report.add(
        'wrong-form',
        place,
        `${written(found)} stands here, where ${typeName(wanted)} is expected.`,
      );
      return;
    case 'minItems':
    case 'minProperties':
      report.add('wrong-form', place, `At least ${wanted} must stand here.`);
      return;
    case 'maxItems':
    case 'maxProperties':
      report.add('wrong-form', place, `At most ${wanted} may stand here.`);
      return;
    case 'minLength':
    case 'maxLength':
      report.add(
        'wrong-value',
        place,
        `This text must have ${keyword === 'minLength' ? 'at least' : 'at most'} ${wanted} characters.`,
      );
      return;
    case 'uniqueItems':
      report.add('duplicate-name', place, 'The same stands here twice.');
      return;
    default:
      report.add('wrong-form', place, `This does not fit the format (${keyword}).`);
  }
}

/** What to write under keys whose name alone does not say it. */
const missing: ReadonlyMap<string, string> = new Map([
  ['source', 'Say where the values are from: source: workshop notes, table 7-2.'],
  ['text', 'Say what a person is to read: text: The engine is cold.'],
  ['title', 'Say what it is called: title: Torque wrench.'],
  ['says', 'Say what a technician is told when it refuses: says: The timing pin is in.'],
  ['measurand', 'Say what is measured: measurand: Air gap at the actuator.'],
  ['plausible', 'Say between what a reading can lie: plausible: [0 mm, 5 mm].'],
  ['unit', 'Say in which unit it is read: unit: mm.'],
]);

function missingRemedy(key: string): { readonly remedy?: string } {
  const remedy = missing.get(key);
  return remedy === undefined ? {} : { remedy };
}

function unknownKeyRemedy(key: string, meant: string | undefined): string {
  // Inside { } a comma ends a text, and what follows it is taken for the next key.
  if (/\s/.test(key)) return 'Was this part of a text? Inside { } a text with a comma stands in quotes.';
  return meant === undefined ? 'Leave it out; a key of your own starts with x-.' : `Did you mean ${meant}?`;
}

function patternRemedy(pattern: string): string {
  if (pattern.startsWith('^[a-z]')) return 'Write lower-case words joined by hyphens: rack-shift.';
  if (pattern.startsWith('^[1-9]')) return 'Write a whole number from 1 on.';
  if (pattern.startsWith('^(0|')) return 'Write a revision such as 1.0.0.';
  if (pattern.includes('{4}-')) return 'Write a date such as 2027-01-31.';
  if (pattern.includes('/')) return 'Write a procedure and what of it is meant: fit-pump/clamp.';
  return 'See the format reference.';
}

/** The keys of the definition that has most of a map's other keys, and of those one that has something like the odd ones. */
function keysOfLike(found: unknown, without: ReadonlySet<string>): readonly string[] {
  const keys =
    typeof found === 'object' && found !== null ? Object.keys(found).filter((key) => !without.has(key)) : [];
  let best: readonly string[] = [];
  let most = -1;
  for (const candidates of knownKeys) {
    const alike = [...without].filter((key) => nearest(key, candidates) !== undefined).length;
    const shared =
      keys.filter((key) => candidates.includes(key)).length * 1000 + alike * 100 - candidates.length;
    if (shared > most || best.length === 0) {
      best = candidates;
      most = shared;
    }
  }
  return best;
}

const typeName = (type: unknown): string =>
  type === 'object' ? 'a map' : type === 'array' ? 'a list' : type === 'string' ? 'a text' : String(type);

function written(value: unknown): string {
  if (typeof value === 'string') return `"${value.length > 40 ? `${value.slice(0, 40)}…` : value}"`;
  if (Array.isArray(value)) return 'A list';
  return typeof value === 'object' && value !== null ? 'A map' : String(value);
}
