import { type Kind, kindName } from '../quantity/index.ts';
import type { Table } from './table.ts';

/** What an expression stands for: an amount of one kind, a text (perhaps one of a few), a truth, a list. */
export type Type = AmountType | TextType | TruthType | ListType;
export type AmountType = { readonly type: 'amount'; readonly kind: Kind };
export type TextType = { readonly type: 'text'; readonly among?: readonly string[] };
export type TruthType = { readonly type: 'truth' };
export type ListType = { readonly type: 'list'; readonly of: Type };

/** The names that an expression may read. `names` serves suggestions only; `lookup` decides. */
export interface Scope {
  lookup(name: string): Type | undefined;
  names(): readonly string[];
  /** The table of this name; none where a scope has no tables. */
  table?(name: string): Table | undefined;
}

/** A type as an author reads it: `a length`, `a text (marram-three, marram-four)`, `a truth`. */
export function writeType(type: Type): string {
  switch (type.type) {
    case 'amount':
      return article(type.kind);
    case 'text':
      return type.among ? `a text (${type.among.join(', ')})` : 'a text';
    case 'truth':
      return 'a truth';
    case 'list':
      return `a list, each ${writeType(type.of)}`;
  }
}

/** A scope over declared names and tables. Only these are names, whatever an object would inherit. */
export function scopeOf(
  declared: Iterable<readonly [name: string, type: Type]>,
  tables: ReadonlyMap<string, Table> = new Map(),
): Scope {
  const types = new Map(declared);
  return {
    lookup: (name) => types.get(name),
    names: () => [...types.keys()],
    table: (name) => tables.get(name),
  };
}

export const article = (kind: Kind): string => `${/^[aeiou]/.test(kind) ? 'an' : 'a'} ${kindName(kind)}`;
