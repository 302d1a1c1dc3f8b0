// Generated from schema/comparison.schema.yaml by `npm run generate`. Do not edit.

/**
 * How far apart two revisions are. What asks for which stands in the table of changes.
 */
export type ComparedLevel = 'none' | 'patch' | 'minor' | 'major';

/**
 * What one revision has otherwise than another, for whoever has seen neither. A member that is missing has nothing to say.
 */
export interface ComparisonDocument {
  /**
   * Version of this document.
   */
  readonly format: 'ferrule-comparison-1';
  /**
   * Whom Ferrule defers to. It is shown wherever the comparison is.
   */
  readonly deferral: string;
  readonly pack: ComparedNamed;
  readonly before: ComparedSide;
  readonly after: ComparedSide;
  /**
   * What there is to know first, in plain sentences.
   */
  readonly says: readonly string[];
  /**
   * Every change: those that protect less first, then by weight, class and name.
   */
  readonly changes: readonly ComparedChange[];
  readonly bump: ComparedBump;
  readonly account: ComparedAccount;
  readonly behaviour?: ComparedBehaviour;
}
export interface ComparedNamed {
  readonly id: string;
  readonly title: string;
}
/**
 * One of the two revisions.
 */
export interface ComparedSide {
  /**
   * The folder or the bundle as it was named.
   */
  readonly name: string;
  /**
   * Its revision, as semantic versioning writes it.
   */
  readonly revision: string;
  /**
   * Digest of its bundle, with the overlay.
   */
  readonly digest: string;
  /**
   * How it was released.
   */
  readonly release: string;
  /**
   * The notice of this revision. It is shown wherever the comparison is.
   */
  readonly notice?: string;
  readonly overlay?: ComparedPinned;
  /**
   * The libraries that it takes from.
   */
  readonly libraries: readonly ComparedPinned[];
}
/**
 * Something in one revision, by its digest.
 */
export interface ComparedPinned {
  readonly id: string;
  readonly revision: string;
  readonly digest: string;
}
/**
 * One thing that the two revisions have otherwise.
 */
export interface ComparedChange {
  /**
   * What kind of change it is.
   */
  readonly change:
    | 'caution-removed'
    | 'caution-severity'
    | 'weakened'
    | 'loosened'
    | 'shifted'
    | 'rule-changed'
    | 'instrument-changed'
    | 'hold-changed'
    | 'plan-changed'
    | 'caution-added'
    | 'strengthened'
    | 'tightened'
    | 'removed'
    | 'added'
    | 'changed'
    | 'moved'
    | 'variant-removed'
    | 'variant-added'
    | 'renamed'
    | 'restated'
    | 'reworded'
    | 'source-changed';
  /**
   * What it touches.
   */
  readonly weight: 'safety' | 'conformity' | 'work' | 'wording';
  /**
   * What it does to the protection of people or of conformity. Missing: neither, or it cannot be told.
   */
  readonly effect?: 'weaker' | 'stronger';
  /**
   * What kind of thing it is about, as the format calls it.
   */
  readonly kind: string;
  /**
   * Its name with what is around it.
   */
  readonly name: string;
  /**
   * Which of its keys, where it is not about the whole.
   */
  readonly key?: string;
  /**
   * The change in one plain sentence, for somebody who has seen neither revision.
   */
  readonly says: string;
  readonly needs: ComparedLevel;
  readonly before?: ComparedStated;
  readonly after?: ComparedStated;
  /**
   * The variants that it is about, where not all.
   */
  readonly variants?: readonly string[];
  /**
   * Of a permitted range, the numbers, to draw it by: once for all variants that have the same. The words decide.
   */
  readonly limits?: readonly ComparedLimitPair[];
}
/**
 * One side of a change: what stands there, and where.
 */
export interface ComparedStated {
  /**
   * In the document of that revision (RFC 6901).
   */
  readonly pointer: string;
  /**
   * As it is written, or in words. Empty for something as a whole.
   */
  readonly says: string;
  /**
   * The same in the other system of units, where that can be said.
   */
  readonly other?: string;
  readonly place?: ComparedPlace;
}
/**
 * Where something is written.
 */
export interface ComparedPlace {
  /**
   * From the folder of the pack. What is from a library or an overlay stands in its folder.
   */
  readonly file: string;
  readonly line: number;
  readonly column: number;
}
/**
 * A permitted range in both revisions.
 */
export interface ComparedLimitPair {
  /**
   * The variants for which it is this.
   */
  readonly variants: readonly string[];
  readonly before: ComparedSpan;
  readonly after: ComparedSpan;
}
/**
 * From the lower limit to the upper one, both inside. One that is missing: there is no end to that side.
 */
export interface ComparedSpan {
  readonly low?: ComparedLimit;
  readonly high?: ComparedLimit;
}
export interface ComparedLimit {
  /**
   * In the base unit of its kind.
   */
  readonly at: number;
  /**
   * With the unit that it is written in.
   */
  readonly says: string;
}
/**
 * Whether the number of the newer revision says how much has changed.
 */
export interface ComparedBump {
  /**
   * By how much the number has gone up. Lower: it has gone down. Pre-release: one before a release has become another, or the release. Unreadable: one of the two is no semantic version.
   */
  readonly called: 'none' | 'patch' | 'minor' | 'major' | 'pre-release' | 'lower' | 'unreadable';
  readonly needed: ComparedLevel;
  /**
   * Whether the number has gone up by as much as the changes ask for.
   */
  readonly fits: boolean;
  /**
   * The same in words.
   */
  readonly says: string;
}
/**
 * Whether the revision and its changelog say what was changed.
 */
export interface ComparedAccount {
  /**
   * Not looked at: there was no folder that could hold one, as for a bundle.
   */
  readonly changelog: 'read' | 'missing' | 'not-looked-at';
  /**
   * What is not owned up to.
   */
  readonly findings: readonly ComparedFinding[];
}
/**
 * Something that the revision or its changelog does not own up to.
 */
export interface ComparedFinding {
  readonly says: string;
  /**
   * The change that it is about, by its place in the list.
   */
  readonly change?: number;
}
/**
 * What the newer revision does otherwise, found by running it and by the proof. Missing: it was not looked at.
 */
export interface ComparedBehaviour {
  /**
   * The same in plain sentences.
   */
  readonly says: readonly string[];
  /**
   * The time was over before everything had been looked at.
   */
  readonly cutShort: boolean;
  readonly trials: ComparedOldTrials;
  /**
   * What each change that protects less, or may, lets happen.
   */
  readonly permits: readonly ComparedPermitted[];
  /**
   * How many protections that are new or stronger the steps of the older revision would break.
   */
  readonly forbids: number;
  /**
   * The rotation plans, for the variants where they are not the same.
   */
  readonly plans: readonly ComparedPlanPair[];
}
/**
 * The trials of the older revision, run under the newer one.
 */
export interface ComparedOldTrials {
  /**
   * How many were run.
   */
  readonly run: number;
  /**
   * How many come to what they expect.
   */
  readonly pass: number;
  readonly others: readonly ComparedOtherTrial[];
}
/**
 * A trial that passes under the older revision and not under the newer one.
 */
export interface ComparedOtherTrial {
  readonly trial: string;
  /**
   * As the older revision calls it.
   */
  readonly procedure: string;
  /**
   * As the older revision calls it.
   */
  readonly variant: string;
  /**
   * What it is about.
   */
  readonly says: string;
  /**
   * Cannot run: its procedure or its variant is not there any more, or has faults.
   */
  readonly now: 'differs' | 'cannot-run';
  /**
   * What was expected, what was found, and at which step.
   */
  readonly because: readonly string[];
}
/**
 * What one change lets happen, with a way to it.
 */
export interface ComparedPermitted {
  /**
   * The change, by its place in the list.
   */
  readonly change: number;
  /**
   * Way: a job can go it. None: it is proved that no way comes to it. Not-shown: none was found, or none can be looked for. Cut-short: the time was over.
   */
  readonly found: 'way' | 'none' | 'not-shown' | 'cut-short';
  readonly says: string;
  readonly procedure?: string;
  /**
   * The variant of the way.
   */
  readonly variant?: string;
  /**
   * The other variants in which it is the same.
   */
  readonly also?: readonly string[];
  /**
   * A value that conforms now and did not.
   */
  readonly value?: string;
  /**
   * The way from the start of a job.
   */
  readonly way?: readonly ComparedWayStep[];
}
/**
 * One step of a way, or several that are done as they are written.
 */
export interface ComparedWayStep {
  /**
   * Its number on the way.
   */
  readonly from: number;
  /**
   * The number of the last of several.
   */
  readonly until: number;
  readonly says: string;
  readonly happens: readonly string[];
}
/**
 * The rotation plan of one variant in both revisions.
 */
export interface ComparedPlanPair {
  readonly variant: string;
  readonly before?: ComparedTurning;
  readonly after?: ComparedTurning;
  /**
   * What of the crankshaft the two have otherwise.
   */
  readonly because: readonly string[];
}
/**
 * How the crankshaft is turned; angles in degrees of crankshaft rotation.
 */
export interface ComparedTurning {
  /**
   * The running direction.
   */
  readonly direction?: string;
  readonly from: string;
  readonly stops: readonly ComparedTurningStop[];
  readonly total: string;
  readonly leastMargin: string;
}
/**
 * Where the crankshaft is stopped, and the bores that are served there.
 */
export interface ComparedTurningStop {
  readonly turn: string;
  readonly at: string;
  readonly bores: readonly number[];
  readonly margin: string;
  readonly heldBy?: string;
}
