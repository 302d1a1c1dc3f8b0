import {
  classesOf,
  compareDiagnostics,
  type Diagnostic,
  type DiagnosticCode,
  halfWidthOver,
  howErrorsAreWritten,
  type InstrumentInUse,
  isFullDate,
  type Kind,
  kindName,
  nearest,
  type Pack,
  parsePermissibleError,
  parseQuantity,
  permissibleDeviation,
  pointerTo,
  type Quantity,
  Rational,
  spanKind,
  type TorqueClass,
  type written,
} from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import { type Positions, readPackFromFiles } from '@ferrule/source';
import { inNamedFile } from './in-named-file.ts';

/** An instrument of the shop: what kind it is in a pack, and what a job is told of it when it is used. */
export interface ListedInstrument {
  readonly identity: string;
  readonly kind: string;
  readonly title?: string;
  /** As `answers` of a trial would say it; a class of a torque tool has become its permissible error. */
  readonly written: InstrumentInUse;
}

/** The instruments that a shop has, in the order in which they are written. */
export interface InstrumentList {
  readonly instruments: readonly ListedInstrument[];
}

type Map = Readonly<Record<string, unknown>>;
const isMap = (value: unknown): value is Map =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The name under which the list is read, and shown, before its own is put in its place. */
const FILE = 'pack.yaml';

/**
 * Reads a shop's list of instruments and holds it against the format, and against the kinds of instrument of a pack: each
 * quantity has to be of the quantity that its kind measures. Kinds that the pack does not have are left alone, unless one
 * of the pack is named nearly so; that is a warning. Without a list there are errors; every diagnostic has its place.
 */
export function readInstrumentList(
  bytes: Uint8Array | string,
  name: string,
  pack: Pick<Pack, 'instruments'>,
): { readonly list?: InstrumentList; readonly diagnostics: readonly Diagnostic[] } {
  const read = readPackFromFiles(new globalThis.Map([[FILE, bytes]]));
  const found = new Findings(read.positions);
  if (read.diagnostics.length > 0)
    return { diagnostics: read.diagnostics.map((one) => inNamedFile(one, name)) };
  for (const key of Object.keys(read.document))
    if (key !== 'instruments' && !key.startsWith('x-'))
      found.add('unknown-key', pointerTo('', key), `The key ${key} is not known here.`, {
        remedy: 'A list has one key, instruments; a key of your own starts with x-.',
      });
  const { instruments } = read.document;
  if (!isMap(instruments)) {
    found.add(
      instruments === undefined ? 'missing-key' : 'wrong-form',
      instruments === undefined ? '' : '/instruments',
      instruments === undefined
        ? 'The key instruments is missing here.'
        : 'Something else stands here, where the identities of instruments are expected.',
      {
        remedy:
          'Write instruments:, and below it each identity with its kind: "DI-04: { kind: fine-dial-indicator }".',
      },
    );
    return { diagnostics: found.diagnostics.map((one) => inNamedFile(one, name)) };
  }
  for (const one of formFaults(instruments)) found.put(one);
  const listed = Object.entries(instruments).flatMap(([identity, written]) => {
    const one = listedFrom(identity, written, pack, found);
    return one === undefined ? [] : [one];
  });
  const diagnostics = found.diagnostics.map((one) => inNamedFile(one, name));
  return diagnostics.some((one) => one.severity === 'error')
    ? { diagnostics }
    : { list: { instruments: listed }, diagnostics };
}

interface More {
  readonly remedy?: string;
  readonly severity?: 'warning';
}

/** What was found, each once at a place. */
class Findings {
  readonly #positions: Positions;
  readonly #found: Diagnostic[] = [];

  constructor(positions: Positions) {
    this.#positions = positions;
  }

  add(code: DiagnosticCode, pointer: string, message: string, more: More = {}): void {
    this.put({ code, severity: 'error', pointer, message, ...more });
  }

  put(one: Diagnostic): void {
    if (this.#found.some((other) => other.pointer === one.pointer && other.code === one.code)) return;
    const isKey = one.code === 'unknown-key' || one.marks === 'key';
    const span =
      (isKey ? this.#positions.key(one.pointer) : undefined) ?? this.#positions.nearest(one.pointer);
    this.#found.push(span === undefined ? one : { ...one, span });
  }

  get diagnostics(): readonly Diagnostic[] {
    return [...this.#found].sort(compareDiagnostics);
  }
}

/** What stands in a list and not in the answers of a trial. */
const ownKeys = ['kind', 'title', 'torque-class'];
/** What stands in both. */
const sharedKeys = Object.keys({
  identity: true,
  due: true,
  range: true,
  resolution: true,
  'maximum-permissible-error': true,
  'common-error': true,
  calibration: true,
  length: true,
} satisfies Record<keyof InstrumentInUse, true>).filter((key) => key !== 'identity');
const PLACE = '/trials/list/answers/instruments';

/** Holds each instrument against the form that it has in the answers of a trial, so that the two stay one. */
function formFaults(instruments: Map): readonly Diagnostic[] {
  const written = Object.fromEntries(
    Object.entries(instruments).map(([identity, value]) => [
      identity,
      isMap(value)
        ? {
            ...Object.fromEntries(Object.entries(value).filter(([key]) => !ownKeys.includes(key))),
            identity,
          }
        : value,
    ]),
  );
  const { diagnostics } = validate({
    format: '1',
    pack: 'list',
    revision: '1.0.0',
    title: 'List',
    variants: { any: { title: 'Any' } },
    procedures: { any: { title: 'Any', steps: [{ step: 'any', do: 'Any.' }] } },
    trials: {
      list: {
        says: 'List.',
        procedure: 'any',
        variant: 'any',
        expect: { outcome: 'closed' },
        answers: { instruments: written },
      },
    },
  });
  return diagnostics.map((one) => {
    const pointer = `/instruments${one.pointer.replace(PLACE, '')}`;
    const [, , , key, more] = pointer.split('/');
    if (one.code !== 'unknown-key' || key === undefined || more !== undefined) return { ...one, pointer };
    const keys = [...ownKeys, ...sharedKeys];
    const remedy = `Did you mean ${nearest(key, keys) ?? keys.join(', ')}?`;
    return { ...one, pointer, remedy };
  });
}

/** Whether a name may be another one with two letters changed, left out or added at most. */
function isSlipOf(name: string, other: string): boolean {
  let row = Array.from({ length: other.length + 1 }, (_, column) => column);
  for (const [index, sign] of [...name].entries()) {
    let before = row[0] ?? 0;
    const next = [index + 1];
    for (let column = 1; column <= other.length; column++) {
      const above = row[column] ?? 0;
      next.push(
        Math.min(above + 1, (next[column - 1] ?? 0) + 1, before + (other[column - 1] === sign ? 0 : 1)),
      );
      before = above;
    }
    row = next;
  }
  return (row.at(-1) ?? 0) <= 2;
}

function listedFrom(
  identity: string,
  value: unknown,
  { instruments: kinds = {} }: Pick<Pack, 'instruments'>,
  found: Findings,
): ListedInstrument | undefined {
  if (!isMap(value)) return undefined;
  const at = pointerTo('/instruments', identity);
  const { kind, title, 'torque-class': torqueClass, identity: again, ...rest } = value;
  if (again !== undefined)
    found.add('unknown-key', pointerTo(at, 'identity'), 'The identity is said already.', {
      remedy: 'Leave it out: the key before the colon is the identity.',
    });
  if (title !== undefined && (typeof title !== 'string' || title === '' || title.length > 200))
    found.add('wrong-form', pointerTo(at, 'title'), 'A title is a text of at most 200 characters.');
  if (typeof kind !== 'string') {
    found.add(
      kind === undefined ? 'missing-key' : 'wrong-form',
      kind === undefined ? at : pointerTo(at, 'kind'),
      kind === undefined ? 'The key kind is missing here.' : 'A kind of instrument is a name.',
      { remedy: 'Say which kind of instrument it is in the packs: kind: fine-dial-indicator.' },
    );
    return undefined;
  }
  const declared = Object.hasOwn(kinds, kind) ? kinds[kind] : undefined;
  const meant = declared === undefined ? Object.keys(kinds).find((one) => isSlipOf(kind, one)) : undefined;
  if (meant !== undefined)
    found.add('unknown-name', pointerTo(at, 'kind'), `The pack has no kind of instrument ${kind}.`, {
      remedy: `Did you mean ${meant}? ${identity} is not offered as long as it stands so.`,
      severity: 'warning',
    });
  const said: Partial<InstrumentInUse> = rest;
  if (typeof said.due === 'string' && /^\d{4}-\d\d-\d\d$/.test(said.due) && !isFullDate(said.due))
    found.add('wrong-value', pointerTo(at, 'due'), `There is no day ${said.due}.`, {
      remedy: 'Write the last day on which the calibration holds like 2027-01-31.',
    });
  if (declared !== undefined) quantityFaults(identity, at, declared, said, found);
  const range = said.range ?? declared?.range;
  const error = errorOfClass(at, torqueClass, declared?.quantity, range?.[1], said, found);
  if (declared !== undefined) commonFault(at, declared, said, error, found);
  return {
    identity,
    kind,
    ...(typeof title === 'string' ? { title } : {}),
    written: {
      ...said,
      identity,
      ...(error === undefined ? {} : { 'maximum-permissible-error': error }),
    },
  };
}

/** Quantities of an instrument that are none of what its kind measures, or cannot be right. */
function quantityFaults(
  identity: string,
  at: string,
  declared: written.Instrument,
  said: Partial<InstrumentInUse>,
  found: Findings,
): void {
  const { quantity } = declared;
  const read = (text: unknown, kind: Kind, pointer: string): Quantity | undefined => {
    if (typeof text !== 'string') return undefined;
    const parsed = parseQuantity(text, kind);
    if ('quantity' in parsed) return parsed.quantity;
    found.add('wrong-quantity', pointer, `"${text}" is no ${kindName(kind)}.`, {
      remedy: `${identity} measures ${kindName(quantity)}: write the value with its unit.`,
    });
    return undefined;
  };
  const span = spanKind(quantity);
  const { range = [], resolution, calibration, length } = said;
  const [low, high] = range.map((text, place) => read(text, quantity, pointerTo(at, 'range', place)));
  if (low !== undefined && high !== undefined && low.value.compare(high.value) >= 0)
    found.add('reversed-pair', pointerTo(at, 'range'), 'The lowest value must stand before the highest.');
  const positive = (text: unknown, kind: Kind, key: readonly string[]): void => {
    const pointer = pointerTo(at, ...key);
    const sign = read(text, kind, pointer)?.value.sign;
    if (sign !== undefined && sign <= 0)
      found.add('wrong-value', pointer, `${key.at(-1) ?? ''} has to be above zero.`);
  };
  positive(resolution, span, ['resolution']);
  positive(length, 'length', ['length']);
  if (isMap(calibration)) {
    positive(calibration['expanded-uncertainty'], span, ['calibration', 'expanded-uncertainty']);
    const factor = Rational.parse(String(calibration['coverage-factor'] ?? ''));
    if (factor?.sign === 0)
      found.add('wrong-value', pointerTo(at, 'calibration', 'coverage-factor'), 'It has to be above zero.');
  }
  const error = said['maximum-permissible-error'];
  const [lowest = low, highest = high] = declared.range.map((text) => {
    const parsed = parseQuantity(text, quantity);
    return 'quantity' in parsed ? parsed.quantity : undefined;
  });
  if (lowest === undefined || highest === undefined) return;
  const scale = [low ?? lowest, high ?? highest] as const;
  if (typeof error === 'string' && parsePermissibleError(error, quantity, scale) === undefined)
    found.add(
      'wrong-quantity',
      pointerTo(at, 'maximum-permissible-error'),
      `"${error}" is no error of ${kindName(quantity)}.`,
      { remedy: howErrorsAreWritten },
    );
}

/** What all readings with an instrument are said to have in common, and cannot: it is a part of its error. */
function commonFault(
  at: string,
  declared: written.Instrument,
  said: Partial<InstrumentInUse>,
  ofClass: string | undefined,
  found: Findings,
): void {
  const { quantity } = declared;
  const text = said['common-error'];
  if (typeof text !== 'string') return;
  const pointer = pointerTo(at, 'common-error');
  const common = parseQuantity(text, spanKind(quantity));
  if (!('quantity' in common))
    return found.add('wrong-quantity', pointer, `"${text}" is no ${kindName(spanKind(quantity))}.`);
  const [low, high] = (said.range ?? declared.range).map((one) => parseQuantity(one, quantity));
  if (low === undefined || high === undefined || !('quantity' in low) || !('quantity' in high)) return;
  const scale = [low.quantity, high.quantity] as const;
  const stated = said['maximum-permissible-error'] ?? ofClass ?? declared['maximum-permissible-error'];
  const error = stated === undefined ? undefined : parsePermissibleError(stated, quantity, scale);
  // A class that the pack states for the kind is looked at where the instrument is taken into use.
  if (error === undefined && declared['torque-class'] !== undefined) return;
  const { value } = common.quantity;
  if (error === undefined || value.sign < 0 || value.compare(halfWidthOver(error, scale)) > 0)
    found.add(
      'wrong-value',
      pointer,
      'What all readings have in common cannot be more than the maximum permissible error, or below zero.',
      { remedy: 'Write the smaller value, or leave it out; then nothing is taken to cancel.' },
    );
}

/** What the class of a torque tool comes to, as a permissible error; undefined where none is stated, or it cannot be one. */
function errorOfClass(
  pointer: string,
  value: unknown,
  quantity: Kind | undefined,
  highest: string | undefined,
  said: Partial<InstrumentInUse>,
  found: Findings,
): string | undefined {
  if (value === undefined) return undefined;
  const at = pointerTo(pointer, 'torque-class');
  if (said['maximum-permissible-error'] !== undefined)
    found.add('wrong-form', at, 'A class and a maximum permissible error stand side by side.', {
      remedy: 'Say one of the two: the class says what the error is.',
    });
  if (quantity !== undefined && quantity !== 'torque')
    found.add('wrong-quantity', at, `Torque tools have a class, and this measures ${kindName(quantity)}.`, {
      remedy: 'Write maximum-permissible-error: instead.',
    });
  if (!isTorqueClass(value)) {
    found.add('wrong-form', at, 'This is no class of a torque tool.', {
      remedy: `Write type and class as ISO 6789 names them: { type: II, class: A }. Type I has ${classesOf('I').join(', ')}; type II has ${classesOf('II').join(', ')}.`,
    });
    return undefined;
  }
  const largest = highest === undefined ? undefined : parseQuantity(highest, 'torque');
  if (largest === undefined || !('quantity' in largest)) return undefined;
  const share = permissibleDeviation(value, largest.quantity);
  return share && `${share.times(Rational.of(100)).toDecimal(0)} % of indication`;
}

function isTorqueClass(value: unknown): value is TorqueClass {
  if (!isMap(value) || Object.keys(value).some((key) => key !== 'type' && key !== 'class')) return false;
  const { type, class: grade } = value;
  return (type === 'I' || type === 'II') && typeof grade === 'string' && classesOf(type).includes(grade);
}
