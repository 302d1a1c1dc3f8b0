export { type Aside, type AsideReason, asideReasonNames, asideReasons } from './aside.ts';
export type { RejudgedDocument } from './generated/rejudged-document.ts';
export { type CannotReason, cannotReasonNames, cannotReasons, outcomes } from './outcome.ts';
export { Pace, type Rate } from './pace.ts';
export type { FromRevision, MeasureTally, Row, RowChange, RowVerdict } from './rejudge-chunk.ts';
export { RejudgeBusy, type RejudgedStore, type RejudgeProgress, rejudgeStore } from './rejudge-store.ts';
export { addTallies, countOf, type Tally } from './tally.ts';
export type { HeldAgainst, ValueSpread } from './value-spread.ts';
