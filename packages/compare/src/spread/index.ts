export { Spread, type SpreadCounts, type SpreadParts, type SpreadSummary } from './spread.ts';
export { type LimitPair, type SpreadScale, scaleFor } from './spread-scale.ts';
