import {
  adviceOn,
  type Fact,
  type FactBody,
  findEntry,
  type Job,
  type Plan,
  writeAge,
} from '@ferrule/engine';
import { concessionsOf } from './concessions.ts';
import { assessmentOf, titleWithPlace, toleranceOf, withFactor } from './write-verdict.ts';

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
  /** Expanded uncertainty with its coverage factor where that is not 2, where it is known. */
  readonly uncertainty?: string;
  /** That the true value lies inside its limits. */
  readonly probability?: string;
  /** The decision rule, where it is not the simple one, and what it accepts. */
  readonly rule?: string;
  readonly acceptance?: string;
  /** Why an inconclusive verdict is open. */
  readonly because?: string;
  /** What to do about a verdict that is too near its limit. */
  readonly advice?: string;
  /** The reading that stands out from the others of a comparison. */
  readonly standsOut?: string;
  /** Concessions under which an instrument was used that is overdue, or beyond its range. */
  readonly allowed?: readonly string[];
  /** Values that were taken over from earlier jobs, each with its job and its age then: `job-1, 5 days old`. */
  readonly carried?: readonly string[];
  /** How often it was judged in all. */
  readonly judged: number;
  /** What it was judged by was struck since, and it was not judged again. */
  readonly struck?: true;
}

type Judged = Extract<FactBody, { kind: 'judged' }>;

/**
 * The last verdict on each tolerance, in the order of the first. What to do about one that is too near its limit is said
 * where the job is there too.
 */
export function verdictRows(plan: Plan, facts: readonly Fact[], job?: Job): readonly VerdictRow[] {
  const { last } = judgedRows(plan, facts);
  return last.map((row) => withAdvice(plan, facts, job, row));
}

/**
 * What is known of each verdict on a tolerance: all of them by the number of their fact, as they were given, and the last on
 * each tolerance in the order of the first.
 */
export function judgedRows(
  plan: Plan,
  facts: readonly Fact[],
): { readonly all: ReadonlyMap<number, VerdictRow>; readonly last: readonly VerdictRow[] } {
  const all = new Map<number, VerdictRow>();
  const rows = new Map<string, VerdictRow>();
  const readings = new Map<string, readonly Indicated[]>();
  for (const fact of facts) {
    const { fact: body } = fact;
    if (body.kind === 'reading')
      readings.set(body.entry, [
        ...before(readings.get(body.entry) ?? [], body),
        {
          seq: fact.seq,
          repeat: body.repeat,
          isLast: body.open !== true,
          identity: body.instrument?.identity ?? '',
          allowed: concessionsOf(plan, facts, fact),
        },
      ]);
    if (body.kind === 'struck')
      for (const [entry, all] of readings)
        readings.set(
          entry,
          all.filter((one) => one.seq !== body.target && body.also?.includes(one.seq) !== true),
        );
    if (body.kind === 'carried') {
      const { job: from, at: measured } = body.from;
      readings.set(body.entry, [
        {
          seq: fact.seq,
          repeat: undefined,
          isLast: true,
          identity: '',
          allowed: [],
          carried: { from, measured, at: fact.at },
        },
      ]);
    }
    if (body.kind === 'struck' && body.entry !== undefined && body.open !== true)
      strikeRows(plan, rows, body.entry);
    const tolerance = body.kind === 'judged' ? toleranceOf(plan, body.of) : undefined;
    if (body.kind !== 'judged' || tolerance === undefined) continue;
    const used = tolerance.entries.flatMap((entry) => readings.get(plan.entries[entry]?.name ?? '') ?? []);
    const identities = used.map((one) => one.identity);
    const allowed = [...new Set(used.flatMap((one) => one.allowed))];
    const carried = oldestOf(used.flatMap((one) => one.carried ?? []));
    const row: VerdictRow = {
      tolerance: body.of,
      title: titleWithPlace(tolerance),
      value: body.verdict.value ?? '',
      limits: body.verdict.limits ?? '',
      verdict: body.verdict.verdict,
      margin: marginOf(body),
      instruments: [...new Set(identities)].filter((one) => one !== ''),
      ...assessed(body),
      ...(allowed.length === 0 ? {} : { allowed }),
      ...(carried.length === 0 ? {} : { carried }),
      judged: (rows.get(body.of)?.judged ?? 0) + 1,
    };
    rows.set(body.of, row);
    all.set(fact.seq, row);
  }
  return { all, last: [...rows.values()] };
}

/** One indication of a reading, by which instrument, and who allowed that. */
interface Indicated {
  readonly seq: number;
  readonly repeat: number | undefined;
  /** Whether the reading was complete with it. */
  readonly isLast: boolean;
  readonly identity: string;
  readonly allowed: readonly string[];
  readonly carried?: CarriedReading;
}

/** The indications that count beside the next one: none where the reading is begun anew, and none that it takes the place of. */
const before = (
  all: readonly Indicated[],
  { repeat }: Extract<FactBody, { kind: 'reading' }>,
): readonly Indicated[] =>
  repeat === undefined || (repeat === 1 && all.some((one) => one.isLast))
    ? []
    : all.filter((one) => one.repeat !== repeat);

interface CarriedReading {
  readonly from: string;
  readonly measured: string;
  readonly at: string;
}

/** Each job that values were taken over from, with the age of the oldest of them. */
function oldestOf(all: readonly CarriedReading[]): readonly string[] {
  const oldest = new Map<string, CarriedReading>();
  for (const one of all) {
    const before = oldest.get(one.from);
    if (before === undefined || Date.parse(one.measured) < Date.parse(before.measured))
      oldest.set(one.from, one);
  }
  return [...oldest.values()].map(({ from, measured, at }) => `${from}, ${writeAge(measured, at)} old`);
}

/** What is known about the uncertainty of a verdict. */
function assessed({ verdict }: Judged): Partial<VerdictRow> {
  const { standsOut } = verdict;
  const assessment = assessmentOf(verdict);
  const because = verdict.verdict === 'inconclusive' ? verdict.because : undefined;
  return {
    ...(assessment === undefined
      ? {}
      : {
          uncertainty: withFactor(assessment),
          probability: assessment.probability,
          ...(assessment.rule === 'simple' ? {} : { rule: assessment.rule }),
          ...(assessment.acceptance === undefined ? {} : { acceptance: assessment.acceptance }),
        }),
    ...(because === undefined ? {} : { because }),
    ...(standsOut === undefined ? {} : { standsOut }),
  };
}

/** The advice on the verdict that a row ends with; none once it is struck, since the readings are others then. */
function withAdvice(plan: Plan, facts: readonly Fact[], job: Job | undefined, row: VerdictRow): VerdictRow {
  if (job === undefined || row.struck === true) return row;
  const last = facts.findLast(({ fact }) => fact.kind === 'judged' && fact.of === row.tolerance)?.fact;
  const advice = last?.kind === 'judged' ? adviceOn(plan, job, last) : undefined;
  return advice === undefined ? row : { ...row, advice };
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
