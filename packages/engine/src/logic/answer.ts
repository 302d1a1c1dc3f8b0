import type { Amount } from '../quantity/index.ts';

export type Value = Amount | string | boolean;

/** Reads what is recorded under a name; undefined where nothing is. */
export type Read = (name: string) => Value | undefined;

/** Why an expression has no value. An unfit value is one whose type is not the declared one: it counts as none. */
export type Lack =
  | { readonly lack: 'missing'; readonly name: string }
  | { readonly lack: 'unfit'; readonly name: string; readonly found: string; readonly expected: string }
  | { readonly lack: 'divided-by-zero' }
  | {
      readonly lack: 'outside-table';
      readonly table: string;
      readonly at: string;
      readonly from: string;
      readonly until: string;
      /** What the argument is read from. */
      readonly names: readonly string[];
    };

/** The answer of a condition. `truth` is undefined exactly if `lacks` is not empty. */
export interface Answer {
  readonly truth: boolean | undefined;
  /** The names whose absence keeps the truth unknown, each once, in the order of writing. */
  readonly missing: readonly string[];
  readonly lacks: readonly Lack[];
}

export type AmountAnswer =
  | { readonly amount: Amount }
  | { readonly missing: readonly string[]; readonly lacks: readonly Lack[] };

/** Several reasons as one list: each once, in order. */
export function mergeLacks(lists: readonly (readonly Lack[])[]): readonly Lack[] {
  const merged = new Map<string, Lack>();
  for (const lack of lists.flat()) {
    const key = 'name' in lack ? `${lack.lack} ${lack.name}` : JSON.stringify(lack);
    merged.set(key, lack);
  }
  return [...merged.values()];
}

export const missingOf = (lacks: readonly Lack[]): readonly string[] =>
  lacks.flatMap((lack) => (lack.lack === 'missing' ? [lack.name] : []));

export const answerOf = (truth: boolean | undefined, lacks: readonly Lack[]): Answer => ({
  truth,
  missing: missingOf(lacks),
  lacks,
});
