import type { Entry, Plan, PlanTolerance, Rational, Unit } from '@ferrule/engine';
import type { LimitPair } from '../spread/index.ts';

/** One thing that is asked for, at one place of a plan; without a tolerance it is the reading itself. */
export interface Sought {
  /** With its place, as facts name it. */
  readonly name: string;
  readonly place?: string;
  readonly tolerance?: PlanTolerance;
  /** The readings that it rests on. */
  readonly entries: readonly string[];
  readonly unit: Unit;
  readonly decimals: number;
}

/** What is asked for, wherever a plan has it, and what it is held against. */
export interface SoughtIn {
  readonly of: string;
  readonly title: string;
  /** In words; `none` where it is not judged. */
  readonly limits: string;
  readonly pair?: LimitPair;
  readonly plausible?: readonly [Rational, Rational];
  readonly sought: readonly Sought[];
}

/** A name without its place, and its place: `drift-limits@3`. */
function parted(name: string): { readonly base: string; readonly place?: string } {
  const at = name.indexOf('@');
  return at < 0 ? { base: name } : { base: name.slice(0, at), place: name.slice(at + 1) };
}

/** Whether something goes by a name: as a plan names it, or as its own procedure does, wherever that is performed. */
function goesBy(name: string, of: string): boolean {
  const { base } = parted(name);
  return base === of || base.endsWith(`.${of}`);
}

/**
 * What a plan has under a name: a tolerance, every tolerance of a reading or a derived value, or a reading that is not judged.
 * The name may be that of the pack or that of the plan. Places with other limits stand apart.
 */
export function soughtIn(plan: Plan, of: string): readonly SoughtIn[] {
  const tolerances = plan.tolerances.filter((one) => goesBy(one.name, of));
  const found = tolerances.length > 0 ? tolerances : plan.tolerances.filter((one) => goesBy(one.of, of));
  if (found.length > 0) return byLimits(plan, found);
  const readings = plan.entries.filter((one) => isReading(one) && goesBy(one.name, of)).filter(isReading);
  return [...byBase(readings)].map(([base, some]) => ({
    ...{ of: base, title: some[0]?.title ?? '', limits: 'none' },
    sought: some.map((one) => ({
      ...parted(one.name),
      ...{ name: one.name, entries: [one.name], unit: one.unit, decimals: decimalsOf(one) },
    })),
  }));
}

function byBase(readings: readonly Reading[]): ReadonlyMap<string, readonly Reading[]> {
  const groups = new Map<string, Reading[]>();
  for (const one of readings) {
    const { base } = parted(one.name);
    groups.set(base, [...(groups.get(base) ?? []), one]);
  }
  return groups;
}

/** The names that can be asked for in a plan. */
export const namesIn = (plan: Plan): readonly string[] => [
  ...new Set([
    ...plan.tolerances.flatMap((one) => [parted(one.name).base, parted(one.of).base]),
    ...plan.entries.filter(isReading).map((one) => parted(one.name).base),
  ]),
];

type Reading = Extract<Entry, { entry: 'reading' }>;
const isReading = (one: Entry): one is Reading => one.entry === 'reading';

const decimalsOf = ({ plausible }: Reading): number => Math.max(...plausible.map((one) => one.decimals));

function byLimits(plan: Plan, tolerances: readonly PlanTolerance[]): readonly SoughtIn[] {
  const groups = new Map<string, SoughtIn & { readonly sought: Sought[] }>();
  for (const tolerance of tolerances) {
    const { base, place } = parted(tolerance.name);
    const entries = tolerance.entries.flatMap((index) => plan.entries[index] ?? []).filter(isReading);
    const { low, high } = tolerance.limits;
    const isFixed = tolerance.limitsFrom === undefined;
    const key = `${base} ${tolerance.says} ${low?.value ?? ''} ${high?.value ?? ''}`;
    const only = entries.length === 1 && parted(tolerance.of).base === parted(entries[0]?.name ?? '').base;
    const [from, to] = (only ? entries[0]?.plausible : undefined) ?? [];
    const group = groups.get(key) ?? {
      ...{ of: base, title: only ? (entries[0]?.title ?? '') : tolerance.title, limits: tolerance.says },
      sought: [],
      ...(isFixed
        ? {
            pair: {
              ...(low === undefined ? {} : { low: low.value }),
              ...(high === undefined ? {} : { high: high.value }),
            },
          }
        : {}),
      ...(from === undefined || to === undefined ? {} : { plausible: [from.value, to.value] as const }),
    };
    groups.set(key, group);
    group.sought.push({
      ...(place === undefined ? {} : { place }),
      ...{ name: tolerance.name, tolerance, entries: entries.map((one) => one.name) },
      ...{ unit: tolerance.unit, decimals: tolerance.decimals },
    });
  }
  return [...groups.values()];
}
