import type { DiagnosticCode, Pack, Plan, RelatedPlace, Report, Severity } from '@ferrule/engine';

/**
 * One kind of fault that a pack can have: a file of its own beside this one, and a line in the table. What the reader of
 * files, the model and the proof find only says here what it is; a kind with `examine` looks for its fault itself.
 */
export interface DiagnosticKind {
  readonly code: DiagnosticCode;
  /** How grave it is, where the finding does not say otherwise. An error keeps the proof from being begun. */
  readonly severity: Severity;
  /** The fault in one sentence, without the names of a particular pack. */
  readonly says: string;
  /** What its position marks: the name, where the name is at fault or something is missing beside it; else its value. */
  readonly marks: 'key' | 'value';
  /** Finds every such fault in a pack whose names and types are right; of the kinds that say so, in any that is read. */
  readonly examine?: (subject: Subject) => Iterable<Finding>;
  /** `written`: looks at what is written alone, and so even where resolving has found errors. Else `resolved`. */
  readonly when?: Stage;
}

/** How far a pack has come when it is looked at: it has the right form, or its names and types are right as well. */
export type Stage = 'written' | 'resolved';

/** What is looked at: the pack as it is written, its jobs resolved for each variant, and which names were used in that. */
export interface Subject {
  readonly pack: Pack;
  readonly plans: readonly Plan[];
  readonly report: Report;
}

/** One fault at one place. `pointer` is an RFC 6901 pointer into the merged document. */
export interface Finding {
  readonly pointer: string;
  readonly message: string;
  readonly remedy?: string;
  readonly other?: readonly RelatedPlace[];
  readonly severity?: Severity;
  /** The key at the pointer is meant, where others of the kind mean the value. */
  readonly marks?: 'key';
}
