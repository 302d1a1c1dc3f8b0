/** Whether a value that came from outside has a form. */
export type Form = (value: unknown) => boolean;

/** Half a character has no form in UTF-8, and so none in a record. */
const HALF_CHARACTER = /\p{Surrogate}/u;

export const text: Form = (value) => typeof value === 'string' && !HALF_CHARACTER.test(value);
export const truth: Form = (value) => typeof value === 'boolean';
export const count: Form = (value) => Number.isSafeInteger(value);
export const optional =
  (form: Form): Form =>
  (value) =>
    value === undefined || form(value);
export const listOf =
  (form: Form): Form =>
  (value) =>
    Array.isArray(value) && value.every(form);
export const among =
  (words: readonly string[]): Form =>
  (value) =>
    words.some((one) => one === value);

/** The forms of the members of an object. */
export type Members = Readonly<Record<string, Form>>;

export const objectOf =
  (members: Members): Form =>
  (value) =>
    isObject(value) && misformed(value, members) === undefined;

export const isObject = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The name of the first member that is missing or does not have its form. Members that are not named may be there. */
export function misformed(value: Readonly<Record<string, unknown>>, members: Members): string | undefined {
  return Object.keys(members).find((name) => members[name]?.(value[name]) !== true);
}

const certificateForm = objectOf({
  expandedUncertainty: text,
  coverageFactor: text,
  degreesOfFreedom: optional(count),
});

/** What an instrument is called; its due date and the values of its range are looked at where it is named. */
export const namedInstrumentForm = objectOf({
  kind: text,
  identity: text,
  range: optional(listOf(text)),
  resolution: optional(text),
  maximumPermissibleError: optional(text),
  commonError: optional(text),
  calibration: optional(certificateForm),
  length: optional(text),
});
export const instrumentForm = objectOf({
  kind: text,
  identity: text,
  due: optional(text),
  range: optional((value) => listOf(text)(value) && Array.isArray(value) && value.length === 2),
  resolution: optional(text),
  maximumPermissibleError: optional(text),
  commonError: optional(text),
  calibration: optional(certificateForm),
  length: optional(text),
});
export const photographForm = objectOf({ digest: text, name: text });
export const personsForm = listOf(objectOf({ role: text, person: text }));
