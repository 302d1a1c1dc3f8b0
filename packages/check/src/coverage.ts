import { type Pack, type Plan, resolve } from '@ferrule/engine';
import { jobsOf } from './check-pack.ts';
import { type CoveredKind, kinds, type Mark, markOf } from './reach/mark.ts';
import { marksOfFacts } from './reach/marks-of-facts.ts';
import { itemsOfPlan, type PlanItem } from './reach/plan-items.ts';
import { reachableMarks } from './reach/reachable-marks.ts';
import type { TrialResult } from './run-trial.ts';

/** What the trials of a pack reach of one of its procedures. */
export interface Coverage {
  readonly procedure: string;
  readonly variants: readonly VariantCoverage[];
  readonly items: readonly CoverageItem[];
}

/** Counts for one variant, of what can be reached there. */
export interface VariantCoverage {
  readonly variant: string;
  readonly groups: readonly CoveredGroup[];
}

export interface CoveredGroup {
  readonly group: string;
  readonly reached: number;
  readonly of: number;
}

/** One thing that is written in a pack and that trials can reach, the same for every bore. */
export interface CoverageItem {
  readonly mark: Mark;
  readonly kind: CoveredKind;
  /** RFC 6901. */
  readonly pointer: string;
  readonly standing: 'reached' | 'unreached' | 'unreachable';
  /** In words: what no trial does, or why none can; for what is reached, in which variants only. */
  readonly why?: string;
  readonly variants: readonly ItemInVariant[];
}

export interface ItemInVariant {
  readonly variant: string;
  /** Trials that passed and reached it; there are none where it is unreached or unreachable. */
  readonly trials: readonly string[];
  readonly reachable: boolean;
}

/** What is counted together, in the order of the table. */
const groups = [...new Set(Object.values(kinds))];

/** A plan with what trials reach of it. */
interface Covered {
  readonly plan: Plan;
  readonly items: ReadonlyMap<Mark, PlanItem>;
  readonly reachable: ReadonlySet<Mark> | undefined;
  readonly byMark: ReadonlyMap<Mark, readonly string[]>;
}

/**
 * What trials reach, for each job of a pack and each procedure that a trial runs. A trial that failed reaches nothing: it
 * does not show what it says. What the proof went through without coming there is unreachable and not missing.
 */
export function coverageOf(
  pack: Pack,
  results: readonly TrialResult[],
  onPlan: (procedure: string, variant: string, done: number, of: number) => void = () => {},
): readonly Coverage[] {
  const procedures = [...new Set([...jobsOf(pack), ...results.map((one) => one.procedure)])];
  const variantsOf = (procedure: string): readonly string[] =>
    pack.procedures[procedure]?.variants ?? Object.keys(pack.variants);
  const of = procedures.reduce((sum, procedure) => sum + variantsOf(procedure).length, 0);
  let done = 0;
  return procedures.flatMap((procedure) => {
    const covered = variantsOf(procedure).flatMap((variant) => {
      onPlan(procedure, variant, done, of);
      done += 1;
      const { plan } = resolve(pack, { procedure, variant });
      if (plan === undefined) return [];
      const own = results.filter((one) => one.procedure === procedure && one.variant === variant);
      return [coveredBy(plan, own)];
    });
    return covered.length === 0 ? [] : [joined(procedure, covered)];
  });
}

function coveredBy(plan: Plan, results: readonly TrialResult[]): Covered {
  const items = itemsOfPlan(plan);
  const byMark = new Map<Mark, string[]>();
  for (const { trial, failures, facts, refusedBy } of results) {
    if (failures.length > 0) continue;
    const refused = refusedBy.flatMap((pointer) => [markOf('law', pointer), markOf('requirement', pointer)]);
    for (const mark of new Set([...marksOfFacts(plan, facts), ...refused])) {
      if (!items.has(mark)) continue;
      byMark.set(mark, [...(byMark.get(mark) ?? []), trial]);
    }
  }
  const isFull = [...items.keys()].every((mark) => byMark.has(mark) || isRefusal(mark));
  if (isFull) return { plan, items, byMark, reachable: new Set() };
  const { marks, isComplete } = reachableMarks(plan);
  return { plan, items, byMark, reachable: isComplete ? marks : undefined };
}

/** A law is broken on no way that is proved; a placed trial can try it anywhere. */
const isRefusal = (mark: Mark): boolean => mark.startsWith('law ') || mark.startsWith('requirement ');

function joined(procedure: string, covered: readonly Covered[]): Coverage {
  const marks = new Map<Mark, PlanItem>();
  for (const { items } of covered)
    for (const [mark, item] of items) if (!marks.has(mark)) marks.set(mark, item);
  return {
    procedure,
    variants: covered.map((one) => ({ variant: one.plan.variant.id, groups: countsOf(one) })),
    items: [...marks.values()].map((item) => itemIn(item, covered)),
  };
}

function itemIn(item: PlanItem, covered: readonly Covered[]): CoverageItem {
  const variants = covered.flatMap((one): readonly ItemInVariant[] => {
    if (!one.items.has(item.mark)) return [];
    const trials = one.byMark.get(item.mark) ?? [];
    return [{ variant: one.plan.variant.id, trials, reachable: canReach(one, item.mark) }];
  });
  const { mark, kind, pointer } = item;
  const base = { mark, kind, pointer, variants };
  const reached = variants.filter((one) => one.trials.length > 0);
  const lacking = variants.filter((one) => one.trials.length === 0 && one.reachable);
  if (reached.length > 0) {
    const where = reached.map((one) => one.variant).join(', ');
    const only = `only reached for ${where}: a trial ${item.unreached.replace(/^no trial /, '')}`;
    return { ...base, standing: 'reached', ...(lacking.length === 0 ? {} : { why: only }) };
  }
  if (lacking.length > 0) return { ...base, standing: 'unreached', why: item.unreached };
  const why = `${item.unreached}, and none can: no way that was tried comes there`;
  return { ...base, standing: 'unreachable', why };
}

function canReach({ plan, items, reachable, byMark }: Covered, mark: Mark): boolean {
  if (byMark.has(mark)) return true;
  if (isRefusal(mark)) return items.get(mark)?.nodes.some((node) => !isAfterStrike(plan, node)) ?? false;
  return reachable === undefined || reachable.has(mark);
}

/** Whether only a strike leads to a node: no trial can be placed there. */
function isAfterStrike(plan: Plan, index: number): boolean {
  for (let node = plan.nodes[index]; node !== undefined; node = plan.nodes[node.parent]) {
    const around = plan.nodes[node.parent];
    if (around?.node !== 'step' || around.struck === undefined) continue;
    const { struck } = around;
    const hold = plan.holds[struck.remedy === 'hold' ? struck.hold : -1];
    const bodies = [
      ...(struck.remedy === 'rework' ? [struck.body] : []),
      ...(hold?.releases ?? []).flatMap((one) => (one.by === 'rework' ? one.body : [])),
    ];
    if (bodies.includes(node.index)) return true;
  }
  return false;
}

function countsOf(covered: Covered): readonly CoveredGroup[] {
  return groups.map((group) => {
    const all = [...covered.items.values()].filter((one) => kinds[one.kind] === group);
    const reached = all.filter((one) => covered.byMark.has(one.mark));
    const of = all.filter((one) => canReach(covered, one.mark));
    return { group, reached: reached.length, of: of.length };
  });
}
