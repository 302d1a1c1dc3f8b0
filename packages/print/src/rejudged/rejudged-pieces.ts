import type { RejudgedDocument, RejudgedStore } from '@ferrule/compare/rejudge';
import { rejudgedCsvHead, rejudgedCsvRow } from './rejudged-csv.ts';
import { rejudgedHtml } from './rejudged-html.ts';
import type { RejudgedReport } from './rejudged-report.ts';

/** The forms in which what came of many jobs is handed on. */
export type RejudgedForm = 'json' | 'csv' | 'html';

/** So many rows stand on a page; all of them in the rows and in the document. */
const FIRST_ON_PAGE = 500;

/** The pieces of a report in one form, so that however many rows there are, few are held at a time. */
export function* rejudgedPieces(
  form: RejudgedForm,
  report: RejudgedReport,
  done: RejudgedStore,
): Generator<string, void, undefined> {
  switch (form) {
    case 'csv':
      yield rejudgedCsvHead;
      for (const row of done.rows()) yield rejudgedCsvRow(row);
      return;
    case 'html': {
      yield rejudgedHtml(report, firstOf(done.rows(), FIRST_ON_PAGE), firstOf(done.aside(), FIRST_ON_PAGE));
      return;
    }
    case 'json':
      yield* jsonOf(report, done);
  }
}

function* jsonOf(report: RejudgedReport, done: RejudgedStore): Generator<string, void, undefined> {
  const { files, jobs, asideCounts, from } = done;
  const { from: _, rowCount, asideCount: __, ...head } = report;
  const whole: Omit<RejudgedDocument, 'rows' | 'aside'> = {
    format: 'ferrule-rejudged-1',
    ...head,
    ...{ files, jobs, rowCount, asideCounts, from },
  };
  yield `${JSON.stringify(whole, null, 2).slice(0, -2)},\n  "rows": [`;
  yield* itemsOf(done.rows());
  yield ',\n  "aside": [';
  yield* itemsOf(done.aside());
  yield '\n}\n';
}

function* itemsOf(items: Iterable<unknown>): Generator<string, void, undefined> {
  let before = '\n    ';
  for (const item of items) {
    yield `${before}${JSON.stringify(item)}`;
    before = ',\n    ';
  }
  yield before === '\n    ' ? ']' : '\n  ]';
}

/** The first of many, and no more than these. */
export function firstOf<T>(items: Iterable<T>, most: number): readonly T[] {
  const first: T[] = [];
  for (const item of items) {
    if (first.length === most) break;
    first.push(item);
  }
  return first;
}
