export { needs, needsOf } from './bump/needs.ts';
export {
  type Change,
  type ChangeClass,
  changeClasses,
  changeClassNames,
  changeWeights,
  type Stated,
  type Weight,
} from './change.ts';
export { comparePacks } from './compare-packs.ts';
export { compareRevisions, comparisonFormat, type Revision } from './compare-revisions.ts';
export { comparisonSarif, type SarifBases } from './document/comparison-sarif.ts';
export type {
  ComparedChange,
  ComparedSide,
  ComparedStated,
  ComparisonDocument,
} from './document/generated/comparison-document.ts';
export {
  type LimitPair,
  Spread,
  type SpreadCounts,
  type SpreadParts,
  type SpreadScale,
  type SpreadSummary,
  scaleFor,
} from './spread/index.ts';
