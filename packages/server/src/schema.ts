/** JSON as it stands in a schema. */
export type JsonSchema = Readonly<Record<string, unknown>>;

/**
 * A JSON Schema (2020-12) that knows the type of what it lets through, so that what is checked at the edge and what the code
 * works with cannot be two things. `parts` are the named schemas that it refers to.
 */
export interface Schema<T> {
  readonly json: JsonSchema;
  readonly parts: ReadonlyMap<string, JsonSchema>;
  /** Only for the compiler: never there. */
  readonly type?: () => T;
}

/** A member that may be missing. */
export interface Optional<T> {
  readonly optional: Schema<T>;
}

// biome-ignore lint/suspicious/noExplicitAny: a schema of whatever type; `unknown` would not take them
type Any = any;
export type TypeOf<S> = S extends Schema<infer T> ? T : never;
type Members = Readonly<Record<string, Schema<Any> | Optional<Any>>>;
type Flat<T> = { readonly [Key in keyof T]: T[Key] };
type ObjectOf<M extends Members> = Flat<
  {
    readonly [Key in keyof M as M[Key] extends Optional<Any> ? never : Key]: TypeOf<M[Key]>;
  } & {
    readonly [Key in keyof M as M[Key] extends Optional<Any> ? Key : never]?: M[Key] extends Optional<infer T>
      ? T
      : never;
  }
>;

const none: ReadonlyMap<string, JsonSchema> = new Map();
const make = <T>(json: JsonSchema, ...of: readonly Schema<Any>[]): Schema<T> => ({
  json,
  parts: of.length === 0 ? none : new Map(of.flatMap(({ parts }) => [...parts])),
});

/** What a schema says of its values besides their type. */
export interface Saying {
  readonly description?: string;
  readonly examples?: readonly unknown[];
  readonly [keyword: string]: unknown;
}

export const text = (says: Saying = {}): Schema<string> => make({ type: 'string', ...says });
export const count = (says: Saying = {}): Schema<number> => make({ type: 'integer', ...says });
export const amount = (says: Saying = {}): Schema<number> => make({ type: 'number', ...says });
export const truth = (says: Saying = {}): Schema<boolean> => make({ type: 'boolean', ...says });
/** Only ever true: what is not so is left out. */
export const yes: Schema<true> = make({ type: 'boolean', const: true });
/** Any JSON. */
export const anything = (says: Saying = {}): Schema<unknown> => make(says);

export const word = <const W extends string>(is: W, says: Saying = {}): Schema<W> =>
  make({ type: 'string', const: is, ...says });
export const among = <const W extends readonly string[]>(words: W, says: Saying = {}): Schema<W[number]> =>
  make({ type: 'string', enum: words, ...says });

export const list = <T>(of: Schema<T>, says: Saying = {}): Schema<readonly T[]> =>
  make({ type: 'array', items: of.json, ...says }, of);
export const pair = <T>(of: Schema<T>, says: Saying = {}): Schema<readonly [T, T]> =>
  make({ type: 'array', items: of.json, minItems: 2, maxItems: 2, ...says }, of);
/** Names to values. */
export const map = <T>(of: Schema<T>, says: Saying = {}): Schema<Readonly<Record<string, T>>> =>
  make({ type: 'object', additionalProperties: of.json, ...says }, of);

export const optional = <T>(schema: Schema<T>): Optional<T> => ({ optional: schema });

/** An object with these members and no others. */
export function object<const M extends Members>(members: M, says: Saying = {}): Schema<ObjectOf<M>> {
  const all = Object.entries(members).map(([name, member]) => ({
    name,
    schema: 'optional' in member ? member.optional : member,
    isNeeded: !('optional' in member),
  }));
  const needed = all.filter((one) => one.isNeeded).map((one) => one.name);
  return make(
    {
      type: 'object',
      properties: Object.fromEntries(all.map(({ name, schema }) => [name, schema.json])),
      ...(needed.length === 0 ? {} : { required: needed }),
      additionalProperties: false,
      ...says,
    },
    ...all.map((one) => one.schema),
  );
}

/** One of several objects, told apart by the word that `by` holds in each. */
export function union<const S extends readonly Schema<Any>[]>(
  by: string,
  schemas: S,
  says: Saying = {},
): Schema<TypeOf<S[number]>> {
  return make(
    {
      type: 'object',
      discriminator: { propertyName: by },
      required: [by],
      oneOf: schemas.map((one) => one.json),
      ...says,
    },
    ...schemas,
  );
}

/** A schema under a name of its own: where it is used, it is referred to. */
export const named = <T>(name: string, schema: Schema<T>): Schema<T> => ({
  json: { $ref: `${name}#` },
  parts: new Map([...schema.parts, [name, schema.json]]),
});

/** A type with every alias and intersection in it written out. */
type Plain<T> = T extends readonly [infer A, infer B]
  ? readonly [Plain<A>, Plain<B>]
  : T extends readonly (infer U)[]
    ? readonly Plain<U>[]
    : T extends object
      ? { readonly [Key in keyof T]: Plain<T[Key]> }
      : T;
type IsSame<A, B> = (<T>() => T extends A ? 1 : 2) extends <T>() => T extends B ? 1 : 2 ? true : false;

/**
 * Holds a schema against a type of the engine: it compiles only where both are the same, member for member, with what may be
 * missing. A command or a fact that gets a new member stops the compiler here until its schema has it.
 */
export const sameAs =
  <T>() =>
  <S>(
    schema: Schema<S> & (IsSame<Plain<S>, Plain<T>> extends true ? unknown : { differs: never }),
  ): Schema<T> => // The types are the same, which the compiler cannot see for a type that is not known yet.
  ({ json: schema.json, parts: schema.parts });
