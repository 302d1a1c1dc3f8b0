import type { Table } from '../logic/index.ts';
import { type Kind, type Quantity, writeQuantity } from '../quantity/index.ts';
import { stated } from './facts.ts';
import type { Pack } from './generated/document.ts';
import { pointerTo } from './pointer.ts';
import { readStated } from './read-quantity.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';

/** The tables of a pack as they are for a variant; one in which something is wrong is reported and left out. */
export function readTables(pack: Pack, variant: ResolvedVariant, report: Report): ReadonlyMap<string, Table> {
  const read = (text: string | undefined, kind: Kind, pointer: string): Quantity | undefined => {
    const found = text === undefined ? undefined : stated(text, variant, pack, pointer, report);
    return found && readStated(found, kind, report);
  };
  const tables = new Map<string, Table>();
  for (const [id, { title, of, gives, points }] of Object.entries(pack.tables ?? {})) {
    const at = pointerTo('/tables', id, 'points');
    const all: Table['points'][number][] = [];
    let isAscending = true;
    points.forEach(([argument, value], row) => {
      const where = pointerTo(at, row, 0);
      const x = read(argument, of, where);
      const y = read(value, gives, pointerTo(at, row, 1));
      const before = all.at(-1)?.[0];
      if (x && before && x.value.compare(before.value) <= 0) {
        isAscending = false;
        const says = x.value.equals(before.value)
          ? 'stands there twice'
          : `stands after ${writeQuantity(before)}`;
        report.add('points-order', where, `${writeQuantity(x)} ${says}.`, {
          remedy: 'Write each argument once, the lowest first, and look whether all are meant.',
        });
      }
      if (x && y) all.push([x, y]);
    });
    if (isAscending && all.length === points.length) tables.set(id, { id, title, of, gives, points: all });
  }
  return tables;
}
