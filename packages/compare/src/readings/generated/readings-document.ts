// Generated from schema/readings.schema.yaml by `npm run generate`. Do not edit.

/**
 * How what was measured lies against its limits, over all jobs of a store. A member that is missing has nothing to say.
 */
export interface ReadingsDocument {
  /**
   * Version of this document.
   */
  readonly format: 'ferrule-readings-1';
  /**
   * The pack of the jobs.
   */
  readonly pack: string;
  /**
   * What was asked for: a tolerance, or what is measured, by its name without its place.
   */
  readonly of: string;
  /**
   * What it is called in the newest job.
   */
  readonly title: string;
  /**
   * Only jobs of this procedure were looked at.
   */
  readonly procedure?: string;
  /**
   * Only jobs on this engine variant.
   */
  readonly variant?: string;
  /**
   * Only jobs of this revision.
   */
  readonly revision?: string;
  /**
   * Only what was measured from this day on.
   */
  readonly from?: string;
  /**
   * Only what was measured up to this day.
   */
  readonly until?: string;
  /**
   * Whom Ferrule defers to. It is shown wherever the document is.
   */
  readonly deferral: string;
  /**
   * The notices of the revisions, each once. They are shown wherever the document is.
   */
  readonly notices: readonly string[];
  /**
   * The folder of the jobs as it was named.
   */
  readonly store: string;
  /**
   * What there is to know first, in plain sentences.
   */
  readonly says: readonly string[];
  /**
   * Jobs in which something counts.
   */
  readonly jobs: number;
  readonly whole?: ReadingsCounted;
  /**
   * By what they were held against.
   */
  readonly against: readonly ReadingsAgainst[];
  /**
   * Verdicts that a later one of the same job has replaced, after rework: left out.
   */
  readonly again: number;
  /**
   * What was struck: left out.
   */
  readonly struckCount: number;
  /**
   * The first of them, in the order of the jobs.
   */
  readonly struck: readonly ReadingsStruck[];
  /**
   * Files that cannot be relied on, and jobs whose revision the store has not kept: left out.
   */
  readonly faultCount: number;
  /**
   * The first of them.
   */
  readonly faults: readonly ReadingsFault[];
}
/**
 * What some values come to.
 */
export interface ReadingsCounted {
  /**
   * How many there are.
   */
  readonly count: number;
  /**
   * By the verdict that the record has.
   */
  readonly conforming: number;
  readonly nonconforming: number;
  readonly inconclusive: number;
  /**
   * Among them, those beyond the scale of their instrument: they count above, and in nothing below.
   */
  readonly beyond: number;
  /**
   * Arithmetic mean, with its unit.
   */
  readonly mean?: string;
  /**
   * Experimental standard deviation, over n − 1 (JCGM 100:2008, 4.2.2); missing for a single value.
   */
  readonly deviation?: string;
  readonly lowest?: string;
  readonly highest?: string;
  /**
   * How many lie inside, closer to a limit than a tenth of what lies between the two; missing where there are not two limits.
   */
  readonly near?: number;
}
/**
 * What was held against one pair of limits.
 */
export interface ReadingsAgainst {
  /**
   * The name of the tolerance; of something that is not judged its own.
   */
  readonly of: string;
  readonly title: string;
  readonly procedure: string;
  /**
   * The limits in words, as the revisions write them; none: it is not judged.
   */
  readonly limits: string;
  readonly low?: ReadingsPlace;
  readonly high?: ReadingsPlace;
  /**
   * The revisions that have these limits, of jobs in which something counts.
   *
   * @minItems 1
   */
  readonly revisions: readonly string[];
  /**
   * @minItems 1
   */
  readonly variants: readonly string[];
  readonly jobs: number;
  readonly counted: ReadingsCounted;
  readonly bins?: ReadingsBins;
  /**
   * By bore, or by the place that it has otherwise; empty where there is none.
   */
  readonly byBore: readonly ReadingsBore[];
  /**
   * Empty where none is named.
   */
  readonly byInstrument: readonly ReadingsInstrument[];
}
/**
 * A number in the unit of the limits, and the same with its unit.
 */
export interface ReadingsPlace {
  /**
   * A decimal number.
   */
  readonly number: string;
  readonly text: string;
}
/**
 * How many values lie where. A value on an edge belongs to the bin behind it; on an upper limit to the one before.
 */
export interface ReadingsBins {
  /**
   * In ascending order.
   *
   * @minItems 2
   */
  readonly edges: readonly ReadingsPlace[];
  /**
   * Before the first edge, between each two, and behind the last.
   */
  readonly counts: readonly number[];
  /**
   * Below the limits.
   */
  readonly below: number;
  /**
   * Inside them, the limits themselves among these.
   */
  readonly inside: number;
  /**
   * Above the limits.
   */
  readonly above: number;
}
export interface ReadingsBore {
  /**
   * The place behind the sign @, such as the bore.
   */
  readonly place: string;
  readonly counted: ReadingsCounted;
}
export interface ReadingsInstrument {
  /**
   * The number of the instrument; of several that took part, all of them.
   */
  readonly instrument: string;
  readonly counted: ReadingsCounted;
}
/**
 * What was struck.
 */
export interface ReadingsStruck {
  readonly job: string;
  /**
   * The fact: the verdict, or the reading where that is not judged.
   */
  readonly seq: number;
  /**
   * With its place.
   */
  readonly of: string;
  readonly value?: string;
  /**
   * The fact that struck it.
   */
  readonly struckBy: number;
  /**
   * Who struck it.
   */
  readonly by: string;
  readonly reason: string;
}
export interface ReadingsFault {
  readonly job: string;
  readonly message: string;
}
