import { type Fact, type FactBody, findEntry, type Plan } from '@ferrule/engine';
import { columns } from '../terminal/columns.ts';
import { wrap } from '../terminal/wrap.ts';
import { titleWithPlace, toleranceOf } from './write-verdict.ts';

/** One judged tolerance as it stands at the end, with the instruments that took what it was judged by. */
export interface VerdictRow {
  readonly tolerance: string;
  readonly title: string;
  readonly value: string;
  readonly limits: string;
  readonly verdict: string;
  /** What is left to the nearer limit, or by how much it is missed. */
  readonly margin: string;
  readonly instruments: readonly string[];
  /** How often it was judged in all. */
  readonly judged: number;
  /** What it was judged by was struck since, and it was not judged again. */
  readonly struck?: true;
}

type Judged = Extract<FactBody, { kind: 'judged' }>;

/** The last verdict on each tolerance, in the order of the first. */
export function verdictRows(plan: Plan, facts: readonly Fact[]): readonly VerdictRow[] {
  const rows = new Map<string, VerdictRow>();
  const instruments = new Map<string, string>();
  for (const { fact } of facts) {
    if (fact.kind === 'reading') instruments.set(fact.entry, fact.instrument?.identity ?? '');
    if (fact.kind === 'struck' && fact.entry !== undefined && fact.open !== true)
      strikeRows(plan, rows, fact.entry);
    const tolerance = fact.kind === 'judged' ? toleranceOf(plan, fact.of) : undefined;
    if (fact.kind !== 'judged' || tolerance === undefined) continue;
    const used = tolerance.entries.flatMap((entry) => instruments.get(plan.entries[entry]?.name ?? '') ?? []);
    rows.set(fact.of, {
      tolerance: fact.of,
      title: titleWithPlace(tolerance),
      value: fact.verdict.value ?? '',
      limits: fact.verdict.limits ?? '',
      verdict: fact.verdict.verdict,
      margin: marginOf(fact),
      instruments: [...new Set(used)].filter((one) => one !== ''),
      judged: (rows.get(fact.of)?.judged ?? 0) + 1,
    });
  }
  return [...rows.values()];
}

/** Marks the verdicts that relied on an entry. */
function strikeRows(plan: Plan, rows: Map<string, VerdictRow>, entry: string): void {
  const index = findEntry(plan, entry) ?? -1;
  for (const [name, row] of rows)
    if (toleranceOf(plan, name)?.entries.includes(index) === true) rows.set(name, { ...row, struck: true });
}

function marginOf({ verdict }: Judged): string {
  switch (verdict.verdict) {
    case 'conforming':
      return verdict.margin ?? '';
    case 'nonconforming':
      return verdict.excess === undefined
        ? ''
        : `${verdict.excess} ${verdict.side === 'low' ? 'under' : 'over'}`;
    case 'inconclusive':
      return '';
  }
}

export function writeVerdictTable(rows: readonly VerdictRow[]): string {
  if (rows.length === 0) return 'No tolerance was judged.';
  const table = columns(
    [
      ['tolerance', 'value', 'limits', 'verdict', 'margin', 'by'],
      ...rows.map((row) => {
        const verdict = row.verdict === 'conforming' ? row.verdict : row.verdict.toUpperCase();
        const word = row.struck === true ? 'STRUCK' : verdict;
        return [
          row.title,
          row.value,
          unbroken(row.limits),
          row.judged > 1 ? `${word} ${row.judged}×` : word,
          row.margin,
          row.instruments.join(', '),
        ];
      }),
    ],
    [1, 4],
  );
  const again = rows.some((row) => row.judged > 1);
  return again
    ? `${table}\n${wrap('2× and the like: so many times judged; the last verdict stands.')}`
    : table;
}

/** Limits whose numbers stay with their units where the column is folded. */
const unbroken = (limits: string): string => limits.replace(/(\d) (?!to\b|±|\d)/g, '$1\u00a0');
