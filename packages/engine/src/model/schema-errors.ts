import { formatSchema } from './generated/format-schema.ts';
import { pointerTo } from './pointer.ts';
import type { Schema } from './schema.ts';

/** One way in which a document misses the format: the keyword that it misses, and where in the document. */
export interface SchemaError {
  readonly pointer: string;
  readonly keyword: keyof Schema;
  /** What the keyword asks for; for `required` and the keywords about keys, the key. */
  readonly wanted: string | number | boolean | readonly string[] | undefined;
  /** Which alternative of a choice it belongs to: `anyOf/1`. Empty outside of choices, and inside a definition. */
  readonly branch: string;
}

type Check = (value: unknown, pointer: string, branch: string, errors: SchemaError[]) => void;
type Keyword = (schema: Schema) => Check | undefined;

/**
 * Everything in which a document misses the written format; an empty list when it fits. The schema becomes closures
 * when it is first used: no code is generated, and the whole weighs a quarter of what a precompiled validator does.
 */
export function schemaErrors(document: unknown): readonly SchemaError[] {
  const errors: SchemaError[] = [];
  root ??= compile(formatSchema);
  root(document, '', '', errors);
  return errors;
}

let root: Check | undefined;
const definitions = new Map<string, Check>();

function compile(schema: Schema): Check {
  if (schema.$ref !== undefined) return definition(schema.$ref);
  const checks = keywords.flatMap((keyword) => keyword(schema) ?? []);
  const [only] = checks;
  if (only !== undefined && checks.length === 1) return only;
  return (value, pointer, branch, errors) => {
    for (const check of checks) check(value, pointer, branch, errors);
  };
}

/** A definition is compiled when a document first comes to it, since definitions ask for each other in circles. */
function definition(ref: string): Check {
  return (value, pointer, _, errors) => {
    let check = definitions.get(ref);
    if (check === undefined) {
      const schema = formatSchema.$defs?.[ref.slice('#/$defs/'.length)];
      if (schema === undefined) throw new Error(`the format has no ${ref}`);
      check = compile(schema);
      definitions.set(ref, check);
    }
    check(value, pointer, '', errors);
  };
}

type Map_ = Readonly<Record<string, unknown>>;
const isMap = (value: unknown): value is Map_ =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const isOf = (value: unknown, type: Schema['type']): boolean =>
  type === 'object' ? isMap(value) : type === 'array' ? Array.isArray(value) : typeof value === 'string';

/** Keywords that hold one value, and no schema. */
type Simple = Exclude<
  { [K in keyof Schema]-?: NonNullable<Schema[K]> extends SchemaError['wanted'] ? K : never }[keyof Schema],
  undefined
>;

/** A check of one keyword, for values that it is about and that may miss it. */
const plain =
  <K extends Simple>(
    keyword: K,
    misses: (value: unknown, wanted: NonNullable<Schema[K]>) => boolean,
  ): Keyword =>
  (schema) => {
    const wanted = schema[keyword];
    if (wanted === undefined) return undefined;
    return (value, pointer, branch, errors) => {
      if (misses(value, wanted)) errors.push({ pointer, keyword, wanted, branch });
    };
  };

const lengthOf = (text: string): number => {
  let length = 0;
  for (const _ of text) length++;
  return length;
};

const alternatives =
  (keyword: 'anyOf' | 'oneOf'): Keyword =>
  (schema) => {
    const checks = schema[keyword]?.map(compile);
    if (checks === undefined) return undefined;
    return (value, pointer, branch, errors) => {
      const found = checks.map((check, place) => {
        const own: SchemaError[] = [];
        check(value, pointer, branch || `${keyword}/${place}`, own);
        return own;
      });
      const fitting = found.filter((own) => own.length === 0).length;
      if (keyword === 'anyOf' ? fitting > 0 : fitting === 1) return;
      errors.push(...found.flat(), { pointer, keyword, wanted: undefined, branch });
    };
  };

const condition: Keyword = (schema) => {
  if (schema.if === undefined) return undefined;
  const asked = compile(schema.if);
  const [yes, no] = [compile(schema.then ?? {}), compile(schema.else ?? {})];
  return (value, pointer, branch, errors) => {
    const missed: SchemaError[] = [];
    asked(value, pointer, branch, missed);
    (missed.length === 0 ? yes : no)(value, pointer, branch, errors);
  };
};

const items: Keyword = (schema) => {
  if (schema.items === undefined) return undefined;
  const check = compile(schema.items);
  return (value, pointer, branch, errors) => {
    if (!Array.isArray(value)) return;
    for (const [index, item] of value.entries()) check(item, pointerTo(pointer, index), branch, errors);
  };
};

const required: Keyword = ({ required: names }) =>
  names &&
  ((value, pointer, branch, errors) => {
    if (!isMap(value)) return;
    for (const wanted of names)
      if (!Object.hasOwn(value, wanted)) errors.push({ pointer, keyword: 'required', wanted, branch });
  });

const properties: Keyword = (schema) => {
  const { additionalProperties: others, propertyNames } = schema;
  if (schema.properties === undefined && others === undefined && propertyNames === undefined)
    return undefined;
  const named = new Map(Object.entries(schema.properties ?? {}).map(([key, one]) => [key, compile(one)]));
  const patterns = Object.entries(schema.patternProperties ?? {}).map(
    ([pattern, one]) => [new RegExp(pattern, 'u'), compile(one)] as const,
  );
  const other = typeof others === 'object' ? compile(others) : undefined;
  const name = propertyNames && compile(propertyNames);
  const known = new Map<string, readonly Check[]>();
  /** The checks of one key. Remembered for names that the format has: there are only so many. */
  const checksOf = (key: string): readonly Check[] => {
    const found = known.get(key);
    if (found !== undefined) return found;
    const own = named.get(key);
    const like = patterns.flatMap(([pattern, check]) => (pattern.test(key) ? [check] : []));
    const made = own === undefined ? like : [own, ...like];
    if (own !== undefined) known.set(key, made);
    return made.length === 0 && other !== undefined ? [other] : made;
  };
  return (value, pointer, branch, errors) => {
    if (!isMap(value)) return;
    for (const key of Object.keys(value)) {
      if (name !== undefined) {
        const missed: SchemaError[] = [];
        name(key, pointer, branch, missed);
        if (missed.length > 0) errors.push({ pointer, keyword: 'propertyNames', wanted: key, branch });
      }
      const checks = checksOf(key);
      for (const check of checks) check(value[key], pointerTo(pointer, key), branch, errors);
      if (checks.length === 0 && others === false)
        errors.push({ pointer, keyword: 'additionalProperties', wanted: key, branch });
    }
  };
};

const keywords: readonly Keyword[] = [
  plain('type', (value, type) => !isOf(value, type)),
  plain('const', (value, wanted) => value !== wanted),
  plain('enum', (value, wanted) => !wanted.some((one) => one === value)),
  alternatives('anyOf'),
  alternatives('oneOf'),
  condition,
  plain('minLength', (value, limit) => typeof value === 'string' && lengthOf(value) < limit),
  plain('maxLength', (value, limit) => typeof value === 'string' && lengthOf(value) > limit),
  ({ pattern }) => {
    if (pattern === undefined) return undefined;
    const shape = new RegExp(pattern, 'u');
    return plain('pattern', (value) => typeof value === 'string' && !shape.test(value))({ pattern });
  },
  plain('minItems', (value, limit) => Array.isArray(value) && value.length < limit),
  plain('maxItems', (value, limit) => Array.isArray(value) && value.length > limit),
  plain('uniqueItems', (value) => {
    if (!Array.isArray(value)) return false;
    return new Set(value.map((item) => JSON.stringify(item))).size < value.length;
  }),
  items,
  plain('minProperties', (value, limit) => isMap(value) && Object.keys(value).length < limit),
  plain('maxProperties', (value, limit) => isMap(value) && Object.keys(value).length > limit),
  required,
  properties,
];
