// Generated from schema/rejudged.schema.yaml by `npm run generate`. Do not edit.

/**
 * What came of the jobs of a store under another revision of their pack. A member that is missing has nothing to say.
 */
export interface RejudgedDocument {
  /**
   * Version of this document.
   */
  readonly format: 'ferrule-rejudged-1';
  readonly pack: RejudgedNamed;
  /**
   * The revision that the jobs were judged by.
   */
  readonly revision: string;
  /**
   * Digest of its bundle, without an overlay.
   */
  readonly digest: string;
  /**
   * How it was released.
   */
  readonly release: string;
  /**
   * The notice of this revision. It is shown wherever the document is.
   */
  readonly notice?: string;
  /**
   * Whom Ferrule defers to. It is shown wherever the document is.
   */
  readonly deferral: string;
  /**
   * The folder of the jobs as it was named.
   */
  readonly store: string;
  /**
   * What there is to know first, in plain sentences.
   */
  readonly says: readonly string[];
  /**
   * Job files that were judged or left aside.
   */
  readonly files: number;
  /**
   * Jobs that were judged.
   */
  readonly jobs: number;
  /**
   * How many rows there are.
   */
  readonly rowCount: number;
  readonly asideCounts: RejudgedCounts;
  /**
   * What came of the jobs, by what they were done by.
   */
  readonly from: readonly RejudgedFrom[];
  /**
   * Every verdict that is not what it was, in the order of the jobs.
   */
  readonly rows: readonly RejudgedRow[];
  /**
   * Every file that was left aside.
   */
  readonly aside: readonly RejudgedAside[];
}
export interface RejudgedNamed {
  readonly id: string;
  readonly title: string;
}
export interface RejudgedCounts {
  [k: string]: number;
}
/**
 * The jobs of one revision, procedure and variant.
 */
export interface RejudgedFrom {
  readonly revision: string;
  /**
   * Digest of the bundle that the jobs were done by, with its overlay.
   */
  readonly digest: string;
  /**
   * The overlay that they were begun with, and its revision.
   */
  readonly overlay?: string;
  readonly procedure: string;
  readonly variant: string;
  readonly jobs: number;
  /**
   * By the name of what is judged, without its place.
   */
  readonly measures: {
    [k: string]: RejudgedMeasure;
  };
}
/**
 * What came of all that is judged by one name, wherever it stands.
 */
export interface RejudgedMeasure {
  readonly title: string;
  /**
   * The limits of the older revision, in words.
   */
  readonly limitsThen?: string;
  /**
   * The limits of the newer revision, in words.
   */
  readonly limitsNow?: string;
  /**
   * The changes that bear on it.
   */
  readonly changes: readonly RejudgedChange[];
  readonly tally: RejudgedCounts;
  readonly spread?: RejudgedSpread;
}
/**
 * A change that bears on a verdict.
 */
export interface RejudgedChange {
  /**
   * Its class, as in a comparison.
   */
  readonly change: string;
  /**
   * Where it stands, RFC 6901: in the newer revision where it is there, else in the older one.
   */
  readonly pointer: string;
}
/**
 * How the values lie that are judged: those that were judged again, and of what nothing has changed the values of then. In the unit of the newer revision.
 */
export interface RejudgedSpread {
  /**
   * How many values there are.
   */
  readonly values: number;
  /**
   * How many more lay beyond the scale of their instrument, and are not among them.
   */
  readonly beyondScale?: number;
  readonly lowest: string;
  readonly highest: string;
  /**
   * The mean, with two digits more.
   */
  readonly mean: string;
  /**
   * The standard deviation of the values, over n − 1 (JCGM 100, 4.2.2), with three digits.
   */
  readonly standardDeviation?: string;
  readonly older?: RejudgedHeldAgainst;
  readonly newer?: RejudgedHeldAgainst;
  /**
   * The edges of the bins in which values are counted, in ascending order. Empty where there are no limits, and where nothing says how wide a bin is.
   */
  readonly edges: readonly string[];
  /**
   * How many values lie below the first edge, between each two, and above the last: one more than there are edges.
   */
  readonly bins: readonly number[];
}
/**
 * How many values lie where. A value that equals a limit lies inside.
 */
export interface RejudgedHeldAgainst {
  /**
   * The lower limit.
   */
  readonly low?: string;
  /**
   * The upper limit.
   */
  readonly high?: string;
  readonly below: number;
  readonly inside: number;
  readonly above: number;
}
/**
 * One verdict of one job: it comes out otherwise, is given for the first time and does not conform, or cannot be given.
 */
export interface RejudgedRow {
  readonly job: string;
  /**
   * The revision that the job was done by.
   */
  readonly revision: string;
  readonly procedure: string;
  readonly variant: string;
  /**
   * What is judged, with its place, by its name in the newer revision.
   */
  readonly of: string;
  /**
   * unexplained: it differs from the record though nothing has changed.
   */
  readonly outcome: 'changed' | 'added' | 'cannot' | 'unexplained';
  /**
   * The number of the fact of the verdict then.
   */
  readonly seq?: number;
  readonly was?: RejudgedVerdict;
  readonly is?: RejudgedVerdict;
  /**
   * The changes that bear on it.
   */
  readonly changes: readonly RejudgedChange[];
  /**
   * Why it cannot be judged.
   */
  readonly cannot?: string;
  /**
   * The readings that this is about.
   */
  readonly readings?: readonly string[];
}
/**
 * A verdict as the record has it, or as it is now.
 */
export interface RejudgedVerdict {
  readonly verdict: 'conforming' | 'nonconforming' | 'inconclusive';
  /**
   * The value that was judged, or the answer.
   */
  readonly value?: string;
  /**
   * The limits in words.
   */
  readonly limits?: string;
  /**
   * Why nothing was decided, or why it does not conform.
   */
  readonly because?: string;
}
/**
 * A file of the store that was not judged.
 */
export interface RejudgedAside {
  /**
   * The name of the job, or of the file.
   */
  readonly job: string;
  /**
   * The reason in a word.
   */
  readonly because: string;
  readonly message: string;
}
