import validatePack, { type AjvError } from './generated/validate-pack.js';
import { valueAt } from './pointer.ts';

/** One way in which a document misses the format: the keyword that it misses, and where in the document. */
export interface SchemaError {
  readonly pointer: string;
  readonly keyword: string;
  /** What the keyword asks for; for `required` and the keywords about keys, the key. */
  readonly wanted: string | number | readonly string[] | undefined;
  /** Which alternative of a choice it belongs to: `anyOf/1`. Empty outside of choices, and inside a definition. */
  readonly branch: string;
  /** The alternatives that fit, where exactly one of several may. */
  readonly chosen?: readonly number[];
}

/**
 * Everything in which a document misses the written format, as the validator finds it that ajv compiled ahead; an empty
 * list when it fits.
 */
export function schemaErrors(document: unknown): readonly SchemaError[] {
  if (validatePack(document)) return [];
  return (validatePack.errors ?? []).flatMap((error) =>
    isSaidElsewhere(document, error) ? [] : [plain(error)],
  );
}

const ofTexts = ['pattern', 'minLength', 'maxLength'];

/** `if` only says which branch failed; and what is wrong with a name, reported as if of its map, `propertyNames` says. */
const isSaidElsewhere = (document: unknown, { keyword, instancePath }: AjvError): boolean =>
  keyword === 'if' || (ofTexts.includes(keyword) && typeof valueAt(document, instancePath) !== 'string');

const said = [
  'type',
  'allowedValue',
  'allowedValues',
  'pattern',
  'limit',
  'missingProperty',
  'additionalProperty',
  'propertyName',
];

function plain({ instancePath, schemaPath, keyword, params }: AjvError): SchemaError {
  const wanted = said.map((name) => params[name]).find((value) => value !== undefined);
  const branch = /\/((?:anyOf|oneOf)\/\d+)(?:\/|$)/.exec(schemaPath)?.[1] ?? '';
  const chosen = params['passingSchemas'];
  return {
    pointer: instancePath,
    keyword,
    wanted: wanted as SchemaError['wanted'],
    branch,
    ...(Array.isArray(chosen) ? { chosen: chosen.map(Number) } : {}),
  };
}
