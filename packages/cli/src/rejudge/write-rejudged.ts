import { closeSync, openSync, renameSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import type { RejudgedDocument, RejudgedStore } from '@ferrule/compare/rejudge';
import {
  type RejudgedReport,
  type RejudgedRow,
  rejudgedCsvHead,
  rejudgedCsvRow,
  rejudgedHtml,
  saysRejudgedSpread,
} from '@ferrule/print';
import { wrap } from '../terminal/wrap.ts';

export type RejudgedForm = 'text' | 'json' | 'csv' | 'html';

const endings: Readonly<Record<RejudgedForm, string>> = {
  text: 'txt',
  json: 'json',
  csv: 'csv',
  html: 'html',
};

/** So many rows stand on a screen or a page; all of them in the rows and in the document. */
const FIRST: Readonly<Record<'text' | 'html', number>> = { text: 20, html: 500 };

/** The pieces of a report in one form, so that however many rows there are, few are held at a time. */
export function* piecesOf(
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
      yield rejudgedHtml(report, firstOf(done.rows(), FIRST.html), firstOf(done.aside(), FIRST.html));
      return;
    }
    case 'json':
      yield* jsonOf(report, done);
      return;
    case 'text':
      yield* textOf(report, done);
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

function* textOf(report: RejudgedReport, done: RejudgedStore): Generator<string, void, undefined> {
  const { pack, revision, store, says, from, notice, deferral } = report;
  yield `${wrap(`${pack.id} ${revision} on the jobs of ${store}`)}\n\n`;
  for (const one of says) yield `${wrap(one)}\n`;
  for (const one of from) {
    const laid = one.overlay === undefined ? '' : ` with overlay ${one.overlay}`;
    yield `\n${wrap(`Done by ${one.revision}${laid}: ${one.procedure}, ${one.variant}; ${one.jobs} ${one.jobs === 1 ? 'job' : 'jobs'}`)}\n`;
    for (const line of one.says) yield `${wrap(line, '  ')}\n`;
    for (const measure of one.measures) {
      yield `${wrap(`${measure.name}: ${measure.title}; limits then ${measure.limitsThen ?? 'none'}, now ${measure.limitsNow ?? 'none'}`, '  ')}\n`;
      for (const { change, pointer } of measure.changes) yield `${wrap(`${change} ${pointer}`, '    ')}\n`;
      for (const line of measure.says) yield `${wrap(line, '    ')}\n`;
      if (measure.spread !== undefined)
        for (const line of saysRejudgedSpread(measure.spread, { older: one.revision, newer: revision }))
          yield `${wrap(line, '    ')}\n`;
    }
  }
  const rows = firstOf(done.rows(), FIRST.text);
  if (rows.length > 0) yield '\nVerdicts that are not what they were\n';
  for (const row of rows) yield `${wrap(rowText(row), '  ')}\n`;
  if (report.rowCount > rows.length)
    yield `${wrap(`The first ${rows.length} of ${report.rowCount}; --format csv has all of them.`, '  ')}\n`;
  const aside = firstOf(done.aside(), FIRST.text);
  if (aside.length > 0) yield '\nLeft aside\n';
  for (const { job, because, message } of aside) yield `${wrap(`${job}: ${because}. ${message}`, '  ')}\n`;
  if (report.asideCount > aside.length)
    yield `${wrap(`The first ${aside.length} of ${report.asideCount}; --format json has all of them.`, '  ')}\n`;
  if (notice !== undefined) yield `\n${wrap(`NOTICE: ${notice}`)}\n`;
  yield `\n${wrap(deferral)}\n`;
}

function rowText({ job, seq, of, was, is, cannot, readings }: RejudgedRow): string {
  const side = (one: RejudgedRow['was']): string =>
    one === undefined
      ? 'not judged'
      : `${one.verdict}${one.value === undefined ? '' : ` at ${one.value}`}${one.limits === undefined ? '' : ` (${one.limits})`}`;
  const now =
    cannot === undefined
      ? side(is)
      : `cannot be judged, ${cannot}${readings === undefined ? '' : `: ${readings.join(', ')}`}`;
  return `${job}${seq === undefined ? '' : `, fact ${seq}`}: ${of}: ${side(was)}; now ${now}`;
}

function firstOf<T>(items: Iterable<T>, most: number): readonly T[] {
  const first: T[] = [];
  for (const item of items) {
    if (first.length === most) break;
    first.push(item);
  }
  return first;
}

const ENOUGH = 1 << 16;

/** Writes pieces to a file, beside it first, so that nobody ever reads half of it. Throws what the file system throws. */
function writePieces(file: string, pieces: Iterable<string>): void {
  const beside = `${file}.part`;
  const handle = openSync(beside, 'w');
  try {
    let waiting = '';
    for (const piece of pieces) {
      waiting += piece;
      if (waiting.length < ENOUGH) continue;
      writeSync(handle, waiting);
      waiting = '';
    }
    writeSync(handle, waiting);
  } finally {
    closeSync(handle);
  }
  renameSync(beside, file);
}

/** Writes a report in every form into a folder. Throws what the file system throws. */
export function writeRejudged(folder: string, report: RejudgedReport, done: RejudgedStore): void {
  for (const form of ['text', 'json', 'csv', 'html'] as const)
    writePieces(join(folder, `rejudged.${endings[form]}`), piecesOf(form, report, done));
}
