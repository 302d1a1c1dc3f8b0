import { type Entry, isLive, type Job, type Plan, type PlanTolerance } from '@ferrule/engine';
import { derivationOf } from '../telling/derivation.ts';
import { readingText } from '../telling/reading-text.ts';
import type { Telling } from '../telling/telling.ts';
import { assessmentOf, withFactor } from '../telling/write-verdict.ts';
import type { CardCell, CardMeasured, CardVerdict } from './generated/card-document.ts';
import { boreIn, titleOf } from './readings.ts';

type Column = NonNullable<Entry['column']>;
const order = ['as-received', 'baseline', 'as-left'] as const satisfies readonly Column[];
const members = { 'as-received': 'asReceived', baseline: 'baseline', 'as-left': 'asLeft' } as const;

interface Row {
  readonly title: string;
  readonly bore?: number;
  limits?: string;
  readonly cells: Map<(typeof members)[Column] | 'meanwhile', CardCell>;
}

/**
 * What counts at the end: each reading, and each value that was judged and is not simply a reading, with its columns side by
 * side. One that is taken by a procedure which is performed several times stands in one line.
 */
export function measuredOf(
  telling: Telling,
  job: Job,
  verdicts: readonly CardVerdict[],
): readonly CardMeasured[] {
  const { plan } = telling;
  const counting = new Map(verdicts.flatMap((one) => (one.state === 'counts' ? [[one.name, one]] : [])));
  const times = new Map<string, number>();
  for (const { name } of verdicts) times.set(name, (times.get(name) ?? 0) + 1);
  const rows = new Map<string, Row>();
  const put = (key: string, title: string, at: Placed, cell: CardCell, limits?: string): void => {
    const member = at.column === undefined ? 'meanwhile' : members[at.column];
    const found = rows.get(key);
    // The same declaration read twice in one column, as in two parts of the work, gets lines of its own.
    if (found?.cells.has(member) === true)
      return put(`${key} again`, `${title} (${partOfWork(at.name)})`, at, cell, limits);
    const row: Row = found ?? { title, ...boreIn(at.bore), cells: new Map() };
    row.cells.set(member, cell);
    if (limits !== undefined) row.limits = row.limits === undefined || row.limits === limits ? limits : '';
    rows.set(key, row);
  };
  const cellOf = (value: string, verdict: CardVerdict | undefined): CardCell => ({
    value,
    ...(verdict === undefined ? {} : cellVerdict(telling, verdict, times.get(verdict.name) ?? 1)),
  });

  plan.entries.forEach((entry, index) => {
    const taken = job.taken[index];
    if (taken?.entry !== 'reading' || !isLive(entry, job.control.bytes) || entry.card !== undefined) return;
    const fact = job.facts.find(({ seq }) => seq === taken.seq)?.fact;
    if (fact?.kind !== 'reading' && fact?.kind !== 'carried') return;
    const direct = plan.tolerances.filter((one) => isDirect(one, index));
    const verdict = worst(direct.flatMap((one) => counting.get(one.name) ?? []));
    const cell = {
      ...cellOf(readingText(fact) ?? '', verdict),
      ...(taken.carried === undefined ? {} : { carried: true as const }),
    };
    put(`${entry.pointer} ${placeOf(entry.name)}`, titleOf(plan, entry.name), entry, cell, verdict?.limits);
  });
  for (const tolerance of plan.tolerances) {
    const verdict = counting.get(tolerance.name);
    if (verdict === undefined || tolerance.value.node === 'name') continue;
    const derived = derivationOf(telling, tolerance);
    const title = derived?.title ?? capital(derived?.name ?? tolerance.title);
    const at = { name: tolerance.name, ...boreIn(verdict.bore), ...latestColumn(plan, tolerance) };
    const key = `${tolerance.pointer} ${placeOf(tolerance.name)}`;
    put(key, title, at, cellOf(verdict.value ?? '', verdict), verdict.limits);
  }
  return [...rows.values()].map(({ title, bore, limits, cells }) => ({
    title,
    ...boreIn(bore),
    ...(limits === undefined || limits === '' ? {} : { limits }),
    ...Object.fromEntries(cells),
  }));
}

interface Placed {
  readonly name: string;
  readonly bore?: number;
  readonly column?: Column;
}

const isDirect = ({ value, entries }: PlanTolerance, index: number): boolean =>
  value.node === 'name' && entries.includes(index);

const placeOf = (name: string): string => name.slice(name.indexOf('@') + 1 || name.length);

/** The names of the procedures that performed it, in words. */
const partOfWork = (name: string): string =>
  name.includes('.') ? name.slice(0, name.lastIndexOf('.')).replace(/[-.]/g, ' ') : name.replace(/@.*$/, '');

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** A value that is derived from several columns belongs to the last of them. */
function latestColumn(plan: Plan, { entries }: PlanTolerance): { readonly column?: Column } {
  const columns = entries.flatMap((index) => plan.entries[index]?.column ?? []);
  const column = order.findLast((one) => columns.includes(one));
  return column === undefined ? {} : { column };
}

const ranks = { nonconforming: 2, inconclusive: 1, conforming: 0 } as const;
const worst = (verdicts: readonly CardVerdict[]): CardVerdict | undefined =>
  [...verdicts].sort((a, b) => ranks[b.verdict] - ranks[a.verdict])[0];

function cellVerdict(
  { facts }: Telling,
  { seq, verdict, margin, excess, side, conceded, strip }: CardVerdict,
  judged: number,
): Omit<CardCell, 'value'> {
  const fact = facts.find((one) => one.seq === seq)?.fact;
  const assessment = fact?.kind === 'judged' ? assessmentOf(fact.verdict) : undefined;
  const distance =
    margin ?? (excess === undefined ? undefined : `${excess} ${side === 'low' ? 'under' : 'over'}`);
  return {
    verdict,
    ...(conceded === true ? { conceded } : {}),
    ...(distance === undefined ? {} : { margin: distance }),
    ...(assessment === undefined ? {} : { uncertainty: withFactor(assessment) }),
    ...(judged > 1 ? { judged } : {}),
    ...(strip === undefined ? {} : { strip }),
  };
}
