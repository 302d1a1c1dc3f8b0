import type { ReadingsCounted, ReadingsDocument } from '@ferrule/compare/readings';
import { csvCell } from '../csv-cell.ts';

/** The columns of values held against their limits, in order. */
export const readingsColumns = [
  ...(['of', 'procedure', 'limits', 'revisions', 'variants', 'by', 'which', 'count'] as const),
  ...(['conforming', 'nonconforming', 'inconclusive', 'beyond'] as const),
  ...(['mean', 'deviation', 'lowest', 'highest', 'near'] as const),
] as const;

/** A row for each pair of limits, for each bore and for each instrument; lines are ended by CR LF as RFC 4180 wants it. */
export function readingsCsv({ against }: Pick<ReadingsDocument, 'against'>): string {
  const rows = against.flatMap((one) => {
    const row = (by: string, which: string, counted: ReadingsCounted): string => {
      const { of, procedure, limits, revisions, variants } = one;
      const cells: Readonly<Record<(typeof readingsColumns)[number], string | number | undefined>> = {
        ...{ of, procedure, limits, revisions: revisions.join('; '), variants: variants.join('; ') },
        ...{ by, which, mean: undefined, deviation: undefined, lowest: undefined, highest: undefined },
        near: undefined,
        ...counted,
      };
      return readingsColumns.map((column) => csvCell(cells[column])).join(',');
    };
    return [
      row('all', '', one.counted),
      ...one.byBore.map(({ place, counted }) => row('bore', place, counted)),
      ...one.byInstrument.map(({ instrument, counted }) => row('instrument', instrument, counted)),
    ];
  });
  return [readingsColumns.join(','), ...rows, ''].join('\r\n');
}
