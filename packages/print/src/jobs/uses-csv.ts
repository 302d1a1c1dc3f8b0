import { csvCell } from '../csv-cell.ts';

/** What a row says of one use of an instrument. */
export interface UseListed {
  readonly job: string;
  readonly seq: number;
  readonly at: string;
  readonly by: string;
  readonly what: string;
  readonly step?: string;
  readonly entry?: string;
  readonly value?: string;
  readonly verdicts?: readonly {
    readonly of: string;
    readonly verdict: string;
    readonly struckBy?: number;
  }[];
  readonly struckBy?: number;
}

/** The columns of the uses of an instrument, in order. */
export const useColumns = [
  ...(['job', 'fact', 'time', 'by', 'use', 'step', 'entry', 'value', 'verdicts', 'struck-by'] as const),
] as const;

/** The first line of the rows. */
export const usesCsvHead = `${useColumns.join(',')}\r\n`;

/** One use as a row. */
export function usesCsvRow(one: UseListed): string {
  const cells: Readonly<Record<(typeof useColumns)[number], string | number | undefined>> = {
    ...{ job: one.job, fact: one.seq, time: one.at, by: one.by, use: one.what },
    ...{ step: one.step, entry: one.entry, value: one.value, 'struck-by': one.struckBy },
    verdicts: one.verdicts
      ?.map(({ of, verdict, struckBy }) => `${of} ${verdict}${struckBy === undefined ? '' : ' (struck)'}`)
      .join('; '),
  };
  return `${useColumns.map((column) => csvCell(cells[column])).join(',')}\r\n`;
}
