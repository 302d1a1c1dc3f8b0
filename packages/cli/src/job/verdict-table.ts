import type { Plan } from '@ferrule/engine';
import { likelyInside, type VerdictRow, writeAccepted, writeStandsOut } from '@ferrule/print';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';

/** Verdicts as a table for the screen, with what is to be said of those that are not clear. */
export function writeVerdictTable(plan: Plan, rows: readonly VerdictRow[]): string {
  if (rows.length === 0) return 'No tolerance was judged.';
  const isKnown = rows.some((row) => row.uncertainty !== undefined);
  const table = columns(
    [
      ['tolerance', 'value', ...(isKnown ? ['± U; inside'] : []), 'limits', 'verdict', 'margin', 'by'],
      ...rows.map((row) => {
        const verdict = row.verdict === 'conforming' ? row.verdict : row.verdict.toUpperCase();
        const word = row.struck === true ? 'STRUCK' : verdict;
        const by = [...row.instruments, ...(row.carried === undefined ? [] : ['taken over'])].join(', ');
        return [
          row.title,
          row.value,
          ...(isKnown ? [uncertaintyCell(row)] : []),
          unbroken(row.limits),
          row.judged > 1 ? `${word} ${row.judged}×` : word,
          row.margin,
          row.allowed === undefined ? by : `${by} !`,
        ];
      }),
    ],
    [1, isKnown ? 5 : 4],
  );
  const again = rows.some((row) => row.judged > 1);
  return [
    table,
    ...(again ? [wrap('2× and the like: so many times judged; the last verdict stands.')] : []),
    ...[...new Set(rows.flatMap((row) => row.allowed ?? []))].map((one) => wrap(one, '!  ')),
    ...rows
      .flatMap((row) => (row.carried ?? []).map((one) => `${row.title}: taken over from the job ${one}.`))
      .map((one) => wrap(one, '-  ')),
    ...rows.flatMap((row) => [...remarkOn(plan, row)].map((one) => wrap(one, '-  '))),
  ].join('\n');
}

/** In signs, as there is little room. Its two halves stay whole where the column is folded. */
const uncertaintyCell = ({ uncertainty, probability }: VerdictRow): string =>
  uncertainty === undefined
    ? ''
    : `${uncertainty.replaceAll(' ', '\u00a0')}; ${inSigns(likelyInside(probability ?? '')).replaceAll(' ', '\u00a0')}`;

const inSigns = (likely: string): string => likely.replace('less than', '<').replace('more than', '>');

/** What is to be said of a verdict that is not clear, or of a comparison. */
function remarkOn(plan: Plan, row: VerdictRow): readonly string[] {
  const { title, advice, rule, acceptance, standsOut, struck } = row;
  if (struck === true) return [];
  const decided =
    row.verdict === 'conforming' || rule === undefined
      ? ''
      : ` Decided by ${rule.replace('-', ' ')}${acceptance === undefined ? '' : `, which accepts ${writeAccepted(acceptance)}`}.`;
  const odd = writeStandsOut(plan, standsOut).replace(/^; /, ' ');
  if (advice === undefined && decided === '' && odd === '') return [];
  return [`${title}:${advice === undefined ? '' : ` ${advice}`}${decided}${odd === '' ? '' : `${odd}.`}`];
}

/** Limits whose numbers stay with their units where the column is folded. */
const unbroken = (limits: string): string => limits.replace(/(\d) (?!to\b|±|\d)/g, '$1\u00a0');
