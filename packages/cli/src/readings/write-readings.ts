import type {
  ReadingsAgainst,
  ReadingsBins,
  ReadingsCounted,
  ReadingsDocument,
} from '@ferrule/compare/readings';
import { boundsOf, shareOf } from '@ferrule/print/readings';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';

/** So many of what was struck or left out stand on a screen; all of them in the document. */
const FIRST = 10;

/** How what was measured lies against its limits, for a terminal. */
export function writeReadings(document: ReadingsDocument): string {
  const { pack, of, title, says, whole, against, struck, struckCount, faults, faultCount } = document;
  const paragraphs = [
    wrap(`${title}: ${of} of ${pack}, in the jobs of ${document.store}${boundsOf(document)}`),
    says.map((one) => wrap(one)).join('\n'),
    ...(whole === undefined ? [] : [`All of them\n${tableOf([['in all', whole]])}`]),
    ...against.flatMap(sectionOf),
    ...listed(
      'Struck, and left out',
      struckCount,
      struck.map(
        ({ job, seq, of: name, value, struckBy, by, reason }) =>
          `${job}, fact ${seq}: ${name}${value === undefined ? '' : `, ${value}`}; struck by fact ${struckBy} (${by}): ${reason}`,
      ),
    ),
    ...listed(
      'Files that are left out',
      faultCount,
      faults.map(({ job, message }) => `${job}: ${message}`),
    ),
    ...document.notices.map((one) => wrap(`NOTICE: ${one}`)),
    wrap(document.deferral),
  ];
  return paragraphs.join('\n\n');
}

function sectionOf(one: ReadingsAgainst): readonly string[] {
  const { of, limits, procedure, revisions, variants, jobs, counted, byBore, byInstrument, bins } = one;
  const { lowest, highest } = counted;
  const reach = lowest === undefined || highest === undefined ? [] : [`from ${lowest} to ${highest}`];
  return [
    [
      wrap(`${of}: ${limits === 'none' ? 'not judged' : `limits ${limits}`}`),
      wrap(
        [
          `in ${procedure}, revision ${revisions.join(', ')}`,
          variants.join(', '),
          `${jobs} ${jobs === 1 ? 'job' : 'jobs'}`,
          ...reach,
        ].join('; '),
        '  ',
      ),
    ].join('\n'),
    ...(bins === undefined ? [] : [barsOf(one, bins)]),
    tableOf([
      ['in all', counted],
      ...byBore.map(({ place, counted: by }): Row => [`bore\u00a0${place}`, by]),
      ...byInstrument.map(({ instrument, counted: by }): Row => [instrument, by]),
    ]),
  ];
}

type Row = readonly [string, ReadingsCounted];

const tableOf = (rows: readonly Row[]): string =>
  columns([
    ['', 'values', 'nonconforming', 'inconclusive', 'mean', 'deviation', 'near a limit'],
    ...rows.map(([name, one]) => [
      name,
      one.beyond === 0 ? String(one.count) : `${one.count}, ${one.beyond} beyond a scale`,
      String(one.nonconforming),
      String(one.inconclusive),
      unbroken(one.mean),
      unbroken(one.deviation),
      unbroken(shareOf(one)),
    ]),
  ]);

const unbroken = (text = ''): string => text.replaceAll(' ', '\u00a0');

/** The longest bar, in signs. */
const LONGEST = 40;

/** A bar for each bin, from the first that holds a value to the last, with lines where the limits are. */
function barsOf({ low, high }: ReadingsAgainst, { edges, counts }: ReadingsBins): string {
  const [first, last] = [counts.findIndex((one) => one > 0), counts.findLastIndex((one) => one > 0)];
  const isLimit = (limit: typeof low, place: number): boolean =>
    limit !== undefined && Number(edges[place]?.number) === Number(limit.number);
  const from = Math.min(first, ...edges.flatMap((_, place) => (isLimit(low, place) ? [place + 1] : [])));
  const until = Math.max(last, ...edges.flatMap((_, place) => (isLimit(high, place) ? [place] : [])));
  const most = Math.max(1, ...counts);
  const named = counts.map((_, place) => {
    const [before, behind] = [edges[place - 1], edges[place]];
    if (before === undefined) return `below ${behind?.text ?? ''}`;
    return behind === undefined ? `from ${before.text}` : `${before.number} to ${behind.text}`;
  });
  const width = Math.max(...named.slice(from, until + 1).map((one) => [...one].length));
  const digits = String(most).length;
  const lines: string[] = [];
  for (let place = from; place <= until; place++) {
    const count = counts[place] ?? 0;
    if (isLimit(low, place - 1)) lines.push(`  ${'-'.repeat(width)} at least ${low?.text ?? ''}`);
    const bar = '#'.repeat(count === 0 ? 0 : Math.max(1, Math.round((count * LONGEST) / most)));
    lines.push(
      `  ${(named[place] ?? '').padStart(width)}  ${String(count).padStart(digits)} ${bar}`.trimEnd(),
    );
    if (isLimit(high, place)) lines.push(`  ${'-'.repeat(width)} at most ${high?.text ?? ''}`);
  }
  return lines.join('\n');
}

function listed(title: string, count: number, lines: readonly string[]): readonly string[] {
  if (count === 0) return [];
  const rest =
    count > FIRST ? [wrap(`The first ${FIRST} of ${count}; --format json has more of them.`, '  ')] : [];
  return [[title, ...lines.slice(0, FIRST).map((one) => wrap(one, '  ')), ...rest].join('\n')];
}
