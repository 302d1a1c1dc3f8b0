import { join } from 'node:path';
import type { RejudgedStore } from '@ferrule/compare/rejudge';
import {
  type RejudgedForm as FileForm,
  firstOf,
  type RejudgedReport,
  type RejudgedRow,
  rejudgedPieces,
  saysRejudgedSpread,
} from '@ferrule/print/rejudged';
import { writePieces } from '@ferrule/records';
import { wrap } from '../terminal/wrap.ts';

export type RejudgedForm = 'text' | FileForm;

const endings: Readonly<Record<RejudgedForm, string>> = {
  text: 'txt',
  json: 'json',
  csv: 'csv',
  html: 'html',
};

/** So many rows stand on a screen; all of them in the rows and in the document. */
const FIRST = 20;

/** The pieces of a report in one form, so that however many rows there are, few are held at a time. */
export const piecesOf = (
  form: RejudgedForm,
  report: RejudgedReport,
  done: RejudgedStore,
): Generator<string, void, undefined> =>
  form === 'text' ? textOf(report, done) : rejudgedPieces(form, report, done);

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
  const rows = firstOf(done.rows(), FIRST);
  if (rows.length > 0) yield '\nVerdicts that are not what they were\n';
  for (const row of rows) yield `${wrap(rowText(row), '  ')}\n`;
  if (report.rowCount > rows.length)
    yield `${wrap(`The first ${rows.length} of ${report.rowCount}; --format csv has all of them.`, '  ')}\n`;
  const aside = firstOf(done.aside(), FIRST);
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

/** Writes a report in every form into a folder. Throws what the file system throws. */
export function writeRejudged(folder: string, report: RejudgedReport, done: RejudgedStore): void {
  for (const form of ['text', 'json', 'csv', 'html'] as const)
    writePieces(join(folder, `rejudged.${endings[form]}`), piecesOf(form, report, done));
}
