export { cardColumns, cardCsv } from './card/card-csv.ts';
export { cardHtml } from './card/card-html.ts';
export type * from './card/generated/card-document.ts';
export { type CardOptions, cardFormat, jobCard } from './card/job-card.ts';
export { type BehaviourGroup, type BehaviourLine, behaviourGroups } from './comparison/behaviour-groups.ts';
export { comparisonHtml } from './comparison/comparison-html.ts';
export { comparisonMarkdown } from './comparison/comparison-markdown.ts';
export { type ChangeGroup, changeGroups, changeMark, changePlace } from './comparison/groups.ts';
export { crankPicture, type PictureHeading } from './crank-picture.ts';
export { deferral } from './deferral.ts';
export type { ProofMarks } from './graph/marks.ts';
export { procedureGraph } from './graph/procedure-graph.ts';
export { type Aside, oneText, type Piece, writtenLevel } from './graph/written-level.ts';
export { type JobListed, jobColumns, jobsCsv } from './jobs/jobs-csv.ts';
export { type UseListed, useColumns, usesCsvHead, usesCsvRow } from './jobs/uses-csv.ts';
export {
  cellTitle,
  cellValue,
  type DrivenWay,
  placeTitle,
  type ToldWay,
  tellWay,
  type Visit,
} from './refuted/told-way.ts';
export { type PlaceAt, type RefutedWay, type WayOut, watchedCells, wayOut } from './refuted/way-out.ts';
export { whatFails } from './refuted/what-fails.ts';
export { tallyWords } from './rejudged/tally-words.ts';
export { type SheetOptions, sheet } from './sheet/sheet.ts';
export {
  type SpreadDrawn,
  type SpreadLimits,
  type SpreadMark,
  saysSpread,
  spreadPicture,
} from './spread-picture.ts';
export { concededIn } from './telling/conceded.ts';
export { whyAllowed } from './telling/concessions.ts';
export { type Derivation, derivationOf } from './telling/derivation.ts';
export { likelyInside } from './telling/likely-inside.ts';
export { partWords } from './telling/part-words.ts';
export {
  carriedText,
  indicationText,
  readingText,
  repeatsAsked,
  repeatsSoFar,
  repeatsText,
} from './telling/reading-text.ts';
export { shorten } from './telling/shorten.ts';
export { struckBy } from './telling/struck-by.ts';
export { suitabilityNotes } from './telling/suitability-notes.ts';
export type { Telling } from './telling/telling.ts';
export {
  answerText,
  entryTitle,
  holderOf,
  inTitles,
  nameOf,
  partOf,
  roleTitle,
  stepPlace,
  stepTitle,
  tolerancesNamed,
} from './telling/titles.ts';
export { type VerdictRow, verdictRows } from './telling/verdict-rows.ts';
export {
  titleWithPlace,
  toleranceOf,
  writeAccepted,
  writeStandsOut,
  writeVerdict,
} from './telling/write-verdict.ts';
export {
  stripLegend,
  stripLine,
  stripOf,
  type ToleranceStrip,
  toleranceStrip,
} from './tolerance-strip.ts';
export { whatFollows } from './what-follows.ts';
