import { csvCell } from '../csv-cell.ts';
import type { RejudgedRow } from './rejudged-report.ts';

/** The columns of verdicts that are judged again, in order. */
export const rejudgedColumns = [
  ...(['job', 'revision', 'procedure', 'variant', 'of', 'outcome', 'fact'] as const),
  ...(['verdict-then', 'value-then', 'limits-then', 'verdict-now', 'value-now', 'limits-now'] as const),
  ...(['reason', 'readings', 'changes'] as const),
] as const;

/** The first line of the rows, ended by CR LF as RFC 4180 wants it. */
export const rejudgedCsvHead = `${rejudgedColumns.join(',')}\r\n`;

/** One row; a text that a spreadsheet would run as a formula gets an apostrophe before it. */
export function rejudgedCsvRow(row: RejudgedRow): string {
  const { was, is } = row;
  const cells: Readonly<Record<(typeof rejudgedColumns)[number], string | number | undefined>> = {
    ...{ job: row.job, revision: row.revision, procedure: row.procedure, variant: row.variant, of: row.of },
    ...{ outcome: row.outcome, fact: row.seq },
    ...{ 'verdict-then': was?.verdict, 'value-then': was?.value, 'limits-then': was?.limits },
    ...{ 'verdict-now': is?.verdict, 'value-now': is?.value, 'limits-now': is?.limits },
    ...{ reason: row.cannot ?? is?.because, readings: row.readings?.join(' ') },
    changes: row.changes.map(({ change, pointer }) => `${change} ${pointer}`).join('; '),
  };
  return `${rejudgedColumns.map((column) => csvCell(cells[column])).join(',')}\r\n`;
}
