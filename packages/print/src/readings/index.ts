export { readingsColumns, readingsCsv } from './readings-csv.ts';
export { boundsOf, readingsHtml } from './readings-html.ts';
export { shareOf } from './share-of.ts';
