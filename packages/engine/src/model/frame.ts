import type { Derived, Observation, Procedure, Reading } from './generated/document.ts';
import type { Place } from './tracked.ts';

/** A procedure as it is performed at one place: its own names, what it was given, and who performs it. */
export interface Frame extends Place {
  readonly procedure: string;
  readonly document: Procedure;
  readonly pointer: string;
  /** What stands before its readings' names outside: `baseline.`; empty for the procedure that the job is about. */
  readonly prefix: string;
  /** Names bound by loops and by `given`, as text. A stop also binds `stop.rotation` and the like. */
  readonly bindings: ReadonlyMap<string, string>;
  readonly outer?: Frame;
  /** The column of the job card for readings that do not say one. */
  readonly when?: 'as-received' | 'baseline' | 'as-left';
}

/** A frame in which one more name is bound. `bore` also says which bore per-bore names mean. */
export function bound(frame: Frame, bindings: Iterable<readonly [string, string]>): Frame {
  const all = new Map(frame.bindings);
  for (const [name, value] of bindings) all.set(name, value);
  const bore = all.get('bore');
  return { ...frame, bindings: all, ...(bore === undefined ? {} : { bore: Number(bore) }) };
}

/** What a name in a procedure declares. */
export type Declared =
  | { readonly is: 'reading'; readonly reading: Reading }
  | { readonly is: 'observation'; readonly observation: Observation }
  | { readonly is: 'derived'; readonly derived: Derived };

/** What a procedure declares under a name that expressions may read. */
export function declaredIn(document: Procedure, name: string): Declared | undefined {
  const own = <T>(section: Readonly<Record<string, T>> | undefined): T | undefined =>
    section !== undefined && Object.hasOwn(section, name) ? section[name] : undefined;
  const reading = own(document.readings);
  if (reading !== undefined) return { is: 'reading', reading };
  const observation = own(document.observations);
  if (observation !== undefined) return { is: 'observation', observation };
  const derived = own(document.derived);
  return derived === undefined ? undefined : { is: 'derived', derived };
}

/** Every name that a procedure declares for expressions. */
export const namesDeclaredIn = (document: Procedure): readonly string[] => [
  ...Object.keys(document.readings ?? {}),
  ...Object.keys(document.observations ?? {}),
  ...Object.keys(document.derived ?? {}),
];

/** A list that may be written as one item. */
export function listOf<T>(value: T | readonly T[] | undefined): readonly T[] {
  if (value === undefined) return [];
  return Array.isArray(value) ? (value as readonly T[]) : [value as T];
}
