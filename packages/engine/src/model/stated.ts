/** A text that a pack states, at the place where it stands: for a fact of the variant that is named, in the variant. */
export interface Stated {
  readonly text: string;
  readonly pointer: string;
  /** The fact that it is, and the place that names it. */
  readonly fact?: {
    readonly name: string;
    readonly of: string;
    readonly usedAt: string;
    /** The same fact in the other variants. */
    readonly others: readonly string[];
  };
}
