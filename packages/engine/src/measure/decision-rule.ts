import type { Rational } from '../quantity/index.ts';
import type { VerdictWord } from './verdict.ts';
import type { Zone } from './zone.ts';

/** How a value that is not known exactly is held against its limits (JCGM 106, 8; ISO 14253-1). */
export type DecisionRule =
  /** What lies inside the tolerance limits conforms (JCGM 106, 8.2.1). A verdict likelier wrong than this is warned of. */
  | { readonly rule: 'simple'; readonly warnAbove: Rational }
  /** A guard band of r × U inside the limits, outside of them, or on both sides (JCGM 106, 8.3). */
  | {
      readonly rule: 'guarded-acceptance' | 'guarded-rejection' | 'guarded-both';
      readonly guardBand: Rational;
    }
  /** The probability that the value conforms, or does not, must reach this (JCGM 106, 8.3.2.2, note). */
  | { readonly rule: 'probability'; readonly atLeast: Rational };

export type RuleName = DecisionRule['rule'];

type Decided = Exclude<VerdictWord, 'unmeasured'>;
type Row = Readonly<Record<Zone, Decided>>;

const row = (...[a, b, c, d]: readonly [Decided, Decided, Decided, Decided]): Row => ({
  inside: a,
  'inside-band': b,
  'outside-band': c,
  outside: d,
});
const YES = 'conforming';
const NO = 'nonconforming';
const OPEN = 'inconclusive';

/**
 * The verdict of each rule by where the value lies, for an instrument that suffices for the tolerance and for one that is
 * too coarse for it. By a coarse instrument nothing near a limit is decided against the rule's own side either.
 */
export const verdictTable: Readonly<Record<RuleName, { readonly suffices: Row; readonly coarse: Row }>> = {
  simple: { suffices: row(YES, YES, NO, NO), coarse: row(YES, YES, NO, NO) },
  'guarded-acceptance': { suffices: row(YES, OPEN, NO, NO), coarse: row(YES, OPEN, OPEN, NO) },
  'guarded-rejection': { suffices: row(YES, YES, OPEN, NO), coarse: row(YES, OPEN, OPEN, NO) },
  'guarded-both': { suffices: row(YES, OPEN, OPEN, NO), coarse: row(YES, OPEN, OPEN, NO) },
  probability: { suffices: row(YES, OPEN, OPEN, NO), coarse: row(YES, OPEN, OPEN, NO) },
};
