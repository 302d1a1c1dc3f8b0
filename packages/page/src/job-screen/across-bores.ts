import {
  compileAmount,
  type Entry,
  findEntry,
  isLive,
  type Job,
  type Kind,
  type Pack,
  type Plan,
  type PlanTolerance,
  type Read,
  recordedValue,
  type Unit,
  valueAt,
  type WrittenVerdict,
  writeAmount,
} from '@ferrule/engine';
import { derivationOf, entryTitle, readingText, stripOf, type ToleranceStrip } from '@ferrule/print';

/** When a value was taken, as the pack has it; `once` where it says nothing of it. */
export type When = 'as-received' | 'baseline' | 'once' | 'as-left';

export const whens = ['as-received', 'baseline', 'once', 'as-left'] as const satisfies readonly When[];

/** One value at one bore. Places are in the base unit of its kind, for drawing alone. */
export interface BoreValue {
  readonly at: number;
  readonly text: string;
  /** Expanded uncertainty, where it is known. */
  readonly spread?: number;
  readonly verdict?: WrittenVerdict['verdict'];
}

export interface BoreLimits {
  readonly low?: { readonly at: number; readonly text: string };
  readonly high?: { readonly at: number; readonly text: string };
}

/** One quantity over the bores: each value with when it was taken, and the limits that it is held against. */
export interface AcrossBores {
  readonly key: string;
  readonly title: string;
  /** In the order of the engine, front to rear. */
  readonly bores: readonly {
    readonly bore: number;
    readonly values: Partial<Readonly<Record<When, BoreValue>>>;
    readonly limits: BoreLimits;
  }[];
}

type Reading = Extract<Entry, { entry: 'reading' }>;

/**
 * Everything that is measured or worked out bore by bore and is there for two bores at least: readings, values that are judged,
 * and values that the procedure exports. What was struck or is stale is not in it.
 */
export function acrossBores(pack: Pack, plan: Plan, job: Job): readonly AcrossBores[] {
  const found = new Map<string, Group>();
  const put = (
    key: string,
    { title, kind }: Pick<Group, 'title' | 'kind'>,
    bore: number,
    when: When,
    value: BoreValue,
    limits: BoreLimits,
  ) => {
    const group = found.get(key) ?? { key, title, kind, bores: new Map<number, Place>() };
    const place = group.bores.get(bore) ?? { values: {}, limits: {} };
    group.bores.set(bore, {
      values: { ...place.values, [when]: value },
      limits: { ...place.limits, ...limits },
    });
    found.set(key, group);
  };
  const judged = lastVerdicts(plan, job);
  plan.entries.forEach((entry, index) => {
    const { bore } = entry;
    const taken = job.taken[index];
    if (entry.entry !== 'reading' || bore === undefined || taken?.entry !== 'reading') return;
    if (taken.beyond !== undefined || !isLive(entry, job.control.bytes)) return;
    const fact = job.facts[taken.seq - 1]?.fact;
    const text = fact?.kind === 'reading' || fact?.kind === 'carried' ? readingText(fact) : undefined;
    if (text === undefined) return;
    const tolerance = plan.tolerances.find(
      (one) => one.value.node === 'name' && one.entries.includes(index) && judged.has(one.name),
    );
    const { value, limits } = judgedAt(tolerance, judged);
    const at = taken.quantity.value.toNumber();
    put(
      entry.pointer,
      { title: titleOf(pack, plan, entry), kind: entry.kind },
      bore,
      entry.column ?? 'once',
      { ...value, at, text },
      limits,
    );
  });
  const shown = new Set<string>();
  for (const tolerance of plan.tolerances) {
    const bore = boreOf(tolerance.name);
    const { value, limits } = judgedAt(tolerance, judged);
    if (bore === undefined || tolerance.value.node === 'name') continue;
    shown.add(`${tolerance.of}@${bore}`);
    if (value.at === undefined || value.text === undefined) continue;
    const derived = derivationOf({ plan, pack, facts: job.facts }, tolerance);
    const title = derived?.title ?? capital(derived?.name ?? tolerance.title);
    const when = lastWhen(plan, tolerance.entries);
    put(
      tolerance.pointer,
      { title, kind: tolerance.unit.kind },
      bore,
      when,
      { ...value, at: value.at, text: value.text },
      limits,
    );
  }
  const read = readerOf(plan, job);
  for (const { name, title, value, unit, entries } of plan.exports) {
    const bore = boreOf(name);
    if (bore === undefined || value.node === 'name' || shown.has(name)) continue;
    const answer = compileAmount(value)(read);
    if (!('amount' in answer)) continue;
    const { amount } = answer;
    const text = writeAmount(amount, unit, decimalsOf(plan, job, entries, unit));
    put(
      `export ${name.replace(/@.*$/, '')}`,
      { title, kind: unit.kind },
      bore,
      lastWhen(plan, entries),
      { at: amount.value.toNumber(), text },
      {},
    );
  }
  return sideBySide([...found.values()])
    .filter(({ bores }) => bores.size > 1)
    .map(({ key, title, bores }) => ({
      key,
      title,
      bores: [...bores].sort(([a], [b]) => a - b).map(([bore, place]) => ({ bore, ...place })),
    }));
}

interface Group {
  readonly key: string;
  readonly title: string;
  readonly kind: Kind;
  readonly bores: Map<number, Place>;
}

/**
 * What was read at different times under the same words, but for a remark behind a comma, is one quantity: `opening pressure` as
 * left, and `opening pressure, as it came`.
 */
function sideBySide(groups: readonly Group[]): readonly Group[] {
  const merged: Group[] = [];
  // The shortest words first: they are what the others are held against.
  for (const group of [...groups].sort((a, b) => a.title.length - b.title.length)) {
    const stem = group.title.includes(', ')
      ? group.title.slice(0, group.title.lastIndexOf(', '))
      : group.title;
    const same = merged.find(
      (one) =>
        one.kind === group.kind && (one.title === stem || one.title === group.title) && areApart(one, group),
    );
    if (same === undefined) {
      merged.push({ ...group, bores: new Map(group.bores) });
      continue;
    }
    for (const [bore, place] of group.bores) {
      const own = same.bores.get(bore) ?? { values: {}, limits: {} };
      same.bores.set(bore, {
        values: { ...own.values, ...place.values },
        // Limits of the later time are what counts in the end.
        limits: { ...place.limits, ...own.limits },
      });
    }
  }
  const order = groups.map(({ key }) => key);
  return merged.sort((a, b) => order.indexOf(a.key) - order.indexOf(b.key));
}

/** Whether two groups have no time in common, and are not both of no time. */
function areApart(a: Group, b: Group): boolean {
  const times = ({ bores }: Group): Set<string> =>
    new Set([...bores.values()].flatMap(({ values }) => Object.keys(values)));
  const own = times(a);
  return ![...times(b)].some((when) => own.has(when));
}

type Place = Omit<AcrossBores['bores'][number], 'bore'>;

/** The last verdict on each tolerance whose readings all still count. */
function lastVerdicts(plan: Plan, job: Job): ReadonlyMap<string, WrittenVerdict> {
  const counting = new Set(
    plan.tolerances.flatMap(({ name, entries }) =>
      entries.every((index) => isLive(plan.entries[index], job.control.bytes)) ? [name] : [],
    ),
  );
  const last = new Map<string, WrittenVerdict>();
  for (const { fact } of job.facts)
    if (fact.kind === 'judged' && counting.has(fact.of)) last.set(fact.of, fact.verdict);
  return last;
}

/** What the last verdict on a tolerance says for the picture. */
function judgedAt(
  tolerance: PlanTolerance | undefined,
  judged: ReadonlyMap<string, WrittenVerdict>,
): { readonly value: Partial<BoreValue>; readonly limits: BoreLimits } {
  const verdict = tolerance === undefined ? undefined : judged.get(tolerance.name);
  if (tolerance === undefined || verdict === undefined) return { value: {}, limits: {} };
  const strip: ToleranceStrip | undefined = stripOf(tolerance, verdict);
  if (strip === undefined) return { value: { verdict: verdict.verdict }, limits: {} };
  const { low, high, spread, value } = strip;
  return {
    value: { ...value, verdict: verdict.verdict, ...(spread === undefined ? {} : { spread }) },
    limits: { ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) },
  };
}

/** A value that comes of several readings is as late as the last of them. */
function lastWhen(plan: Plan, entries: readonly number[]): When {
  const columns = entries.flatMap((index) => plan.entries[index]?.column ?? []);
  return whens.findLast((one) => one !== 'once' && columns.includes(one)) ?? 'once';
}

const boreOf = (name: string): number | undefined => {
  const bore = /@(\d+)$/.exec(name)?.[1];
  return bore === undefined ? undefined : Number(bore);
};

/** The measurand in words that fit every bore: without its number, where the pack puts that in. */
function titleOf(pack: Pack, plan: Plan, { pointer, name, bore }: Reading): string {
  const title = entryTitle(plan, name, 200).replace(/^Bore \d+: /, '');
  const declared = valueAt(pack, `${pointer}/measurand`);
  const namesBore = typeof declared === 'string' && declared.includes('{bore}');
  return namesBore ? title.replace(new RegExp(` ?(?<![\\d.])${bore ?? ''}(?![\\d.])`), '') : title;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const readerOf =
  (plan: Plan, job: Job): Read =>
  (name) => {
    if (name === 'variant') return plan.variant.id;
    const index = findEntry(plan, name) ?? -1;
    return isLive(plan.entries[index], job.control.bytes) ? recordedValue(job.taken[index]) : undefined;
  };

/** As many digits as the coarsest of its readings in the same unit was taken with; where none is, two. */
function decimalsOf(plan: Plan, job: Job, entries: readonly number[], unit: Unit): number {
  const decimals = entries.flatMap((index) => {
    const taken = plan.entries[index]?.entry === 'reading' ? job.taken[index] : undefined;
    return taken?.entry === 'reading' && taken.quantity.unit.symbol === unit.symbol
      ? [taken.quantity.decimals]
      : [];
  });
  return decimals.length === 0 ? 2 : Math.min(...decimals);
}
