import type { ValueSpread } from '@ferrule/compare/rejudge';

/** A change that bears on a verdict: its class, and where it stands (RFC 6901). */
export interface RejudgedChange {
  readonly change: string;
  readonly pointer: string;
}

export interface RejudgedVerdict {
  readonly verdict: string;
  readonly value?: string;
  readonly limits?: string;
  readonly because?: string;
}

/** One verdict that is not what it was, or cannot be given again. */
export interface RejudgedRow {
  readonly job: string;
  readonly revision: string;
  readonly procedure: string;
  readonly variant: string;
  readonly of: string;
  readonly outcome: string;
  readonly seq?: number;
  readonly was?: RejudgedVerdict;
  readonly is?: RejudgedVerdict;
  readonly changes: readonly RejudgedChange[];
  readonly cannot?: string;
  readonly readings?: readonly string[];
}

export interface RejudgedMeasure {
  readonly name: string;
  readonly title: string;
  readonly limitsThen?: string;
  readonly limitsNow?: string;
  readonly changes: readonly RejudgedChange[];
  /** How often each outcome came up, in plain words. */
  readonly says: readonly string[];
  readonly spread?: ValueSpread;
}

export interface RejudgedFrom {
  readonly revision: string;
  readonly digest: string;
  readonly overlay?: string;
  readonly procedure: string;
  readonly variant: string;
  readonly jobs: number;
  /** What is to be said of it in a sentence each. */
  readonly says: readonly string[];
  /** What has something to show: it is touched by a change, or comes out otherwise. */
  readonly measures: readonly RejudgedMeasure[];
}

export interface RejudgedAside {
  readonly job: string;
  readonly because: string;
  readonly message: string;
}

/** What came of the jobs of a store under another revision, without the rows. */
export interface RejudgedReport {
  readonly pack: { readonly id: string; readonly title: string };
  readonly revision: string;
  readonly digest: string;
  readonly release: string;
  readonly notice?: string;
  readonly deferral: string;
  readonly store: string;
  readonly says: readonly string[];
  readonly from: readonly RejudgedFrom[];
  readonly rowCount: number;
  readonly asideCount: number;
}
