import { isList, isMapping, type Mapping, mappingOf } from './json.ts';
import type { NameKind } from './keys.ts';
import { renamedPairs } from './likeness.ts';

/** The new names of what was renamed, by kind, and for what belongs to a procedure within it. */
export class Renames {
  readonly #names = new Map<string, ReadonlyMap<string, string>>();

  /** `scope` is the new name of the procedure that the names belong to, or nothing. */
  set(kind: NameKind, scope: string, names: ReadonlyMap<string, string>): void {
    this.#names.set(`${scope}/${kind}`, names);
  }

  of(kind: NameKind, scope: string): ReadonlyMap<string, string> {
    return this.#names.get(`${scope}/${kind}`) ?? none;
  }

  /** What an old name is called now: by its procedure first, then in the pack. */
  now(name: string, kind: NameKind, scope: string): string {
    if (kind !== 'any') return this.of(kind, scope).get(name) ?? this.of(kind, '').get(name) ?? name;
    for (const one of anyKinds) {
      const now = this.now(name, one, scope);
      if (now !== name) return now;
    }
    return name;
  }
}

const none: ReadonlyMap<string, string> = new Map();

const anyKinds = [
  ...['readings', 'observations', 'derived', 'tolerances', 'holds'],
  ...['instruments', 'equipment', 'supplies', 'parts', 'stock', 'joints'],
] as readonly NameKind[];

/** Which names of a section became which. */
export function renamesOf(before: unknown, after: unknown): ReadonlyMap<string, string> {
  const was = mappingOf(before);
  const is = mappingOf(after);
  const only = (some: Mapping, others: Mapping) =>
    new Map(Object.entries(some).filter(([name]) => !Object.hasOwn(others, name)));
  const pairs = renamedPairs(only(was, is), only(is, was));
  return new Map(pairs.map((pair) => [pair.before, pair.after]));
}

/** A value with every text that is a name put into its new form: for what holds names in places that are no keys. */
export function withNewNames(value: unknown, rename: (text: string) => string): unknown {
  if (typeof value === 'string') return rename(value);
  if (isList(value)) return value.map((one) => withNewNames(one, rename));
  if (isMapping(value))
    return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, withNewNames(one, rename)]));
  return value;
}
