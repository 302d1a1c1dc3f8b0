export { rejudgedColumns, rejudgedCsvHead, rejudgedCsvRow } from './rejudged-csv.ts';
export { rejudgedHtml } from './rejudged-html.ts';
export { firstOf, type RejudgedForm, rejudgedPieces } from './rejudged-pieces.ts';
export type * from './rejudged-report.ts';
export { saysRejudgedSpread } from './rejudged-spread.ts';
export { type RejudgedHead, reportOf } from './report-of.ts';
