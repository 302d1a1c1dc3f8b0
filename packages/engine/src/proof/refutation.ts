import type { Guard } from '../model/plan.ts';
import type { Trace } from './way.ts';

interface Found {
  readonly trace: readonly Trace[];
  /** The cells at the end of the way, by their names. */
  readonly states: ReadonlyMap<string, string>;
}

interface FoundAt extends Found {
  /** Path of the node that the job has come to. */
  readonly node: string;
  readonly pointer: string;
}

/** A property that does not hold, with a shortest way that shows it. */
export type Refutation =
  /** A step can be reached in states in which a law, a requirement or a change forbids it. */
  | (FoundAt & { readonly property: 'law'; readonly guard: Guard })
  /** The job can come to a place from which nothing carries it on. */
  | (FoundAt & { readonly property: 'goes-on' })
  /** A choice can come up of whose cases several are true, or none and there is no `otherwise`. */
  | (FoundAt & { readonly property: 'one-case'; readonly areTrue: readonly string[] })
  /** A reading that has limits can be relied on, or the job ended, before it was held against them. */
  | (FoundAt & { readonly property: 'judged'; readonly entry: string; readonly atEnd: boolean })
  /** The job can end in states other than the declared ones. */
  | (Found & { readonly property: 'ends'; readonly guard: Guard });
