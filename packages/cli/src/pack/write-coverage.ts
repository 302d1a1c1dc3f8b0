import type { Coverage, CoverageItem } from '@ferrule/check';
import type { Positions } from '@ferrule/source';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';
import { writePlace } from './write-diagnostic.ts';

/** Items that are named where only a few are shown. */
const FEW = 5;

/**
 * What the trials of an overlay do not reach of what stands in its files: of the pack itself those of the pack speak, and
 * they are not run with an overlay. `overlay` leads to its files.
 */
export function writeOverlayCoverage(
  folder: string,
  coverage: readonly Coverage[],
  positions: Positions,
  overlay: string,
): string {
  return coverage
    .map(({ procedure, items }) => {
      const unreached = items.filter(
        ({ standing, pointer }) =>
          standing === 'unreached' && positions.nearest(pointer)?.file.startsWith(overlay) === true,
      );
      const head =
        unreached.length === 0
          ? `${procedure}: its trials reach every hold, step and outcome that the overlay adds.`
          : `${procedure}: ${unreached.length} places of the overlay that no trial of it reaches.`;
      return [
        '',
        wrap(head),
        ...inOrder(unreached, positions).map((item) => writeItem(folder, item, positions)),
      ].join('\n');
    })
    .join('\n');
}

const writeItem = (folder: string, item: CoverageItem, positions: Positions): string =>
  wrap(`${writePlace(folder, positions.nearest(item.pointer))} ${item.why ?? ''}`, '  ', '    ');

/** What the trials of a pack reach, one table for each procedure, and what they do not: a few, or with `all` everything. */
export function writeCoverage(
  folder: string,
  coverage: readonly Coverage[],
  positions: Positions,
  all: boolean,
): string {
  return coverage.map((one) => writeOne(folder, one, positions, all)).join('\n');
}

function writeOne(
  folder: string,
  { procedure, variants, items }: Coverage,
  positions: Positions,
  all: boolean,
): string {
  const groups = variants[0]?.groups.map((one) => one.group) ?? [];
  const table = columns([
    ['reached', ...groups],
    ...variants.map((one) => [
      one.variant,
      ...one.groups.map(({ reached, of }) => `${reached}\u00a0of\u00a0${of}`),
    ]),
  ]);
  const line = (item: CoverageItem): string => writeItem(folder, item, positions);
  const unreached = inOrder(
    items.filter((one) => one.standing === 'unreached'),
    positions,
  );
  const partly = inOrder(
    items.filter((one) => one.standing === 'reached' && one.why !== undefined),
    positions,
  );
  const never = inOrder(
    items.filter((one) => one.standing === 'unreachable'),
    positions,
  );
  const shown = all ? unreached : unreached.slice(0, FEW);
  const rest = unreached.length - shown.length;
  const more = [
    ...(partly.length > 0 ? [`${partly.length} reached for some variants only`] : []),
    ...(never.length > 0 ? [`${never.length} that no trial can reach`] : []),
  ];
  const hint = rest > 0 || more.length > 0 ? ' --unreached lists them all.' : '';
  const beside = more.length === 0 ? '' : ` Beside them ${more.join(' and ')}.`;
  const head =
    unreached.length === 0
      ? `${procedure}: trials reach everything that can be reached in some variant.${beside}`
      : `${procedure}: ${unreached.length} places that no trial reaches.${beside}`;
  return [
    '',
    table,
    wrap(head + (all ? '' : hint)),
    ...shown.map(line),
    ...(rest > 0 ? [`  … and ${rest} more`] : []),
    ...(all ? [...partly, ...never].map(line) : []),
  ].join('\n');
}

/** As they stand in the files. */
function inOrder(items: readonly CoverageItem[], positions: Positions): readonly CoverageItem[] {
  const placed = items.map((item) => ({ item, span: positions.nearest(item.pointer) }));
  return placed
    .sort((a, b) => {
      const [x, y] = [a.span, b.span];
      if (x === undefined || y === undefined) return 0;
      if (x.file !== y.file) return x.file < y.file ? -1 : 1;
      return x.line - y.line || x.column - y.column;
    })
    .map((one) => one.item);
}

/** The same as data, each item with its place in the files. */
export const describeCoverage = (coverage: readonly Coverage[], positions: Positions): readonly unknown[] =>
  coverage.map(({ items, ...one }) => ({
    ...one,
    items: items.map(({ mark: _, kind, pointer, ...item }) => ({
      what: kind,
      pointer,
      place: positions.nearest(pointer),
      ...item,
    })),
  }));
