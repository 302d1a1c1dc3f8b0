import { replayWay } from '@ferrule/check';
import {
  type Amount,
  type Limits,
  PHASE,
  type Plan,
  type PlanTolerance,
  Rational,
  type Unit,
} from '@ferrule/engine';
import { shortestWay } from '@ferrule/engine/proof';
import { limitsFor, writtenLimits } from '../compare-limits.ts';
import type { Comparison, Found } from '../comparison.ts';
import type { ComparedPermitted } from '../document/generated/comparison-document.ts';
import { mappingOf } from '../json.ts';
import { plainly } from './drive.ts';
import type { NewPlans, PlanName } from './new-plans.ts';
import { at } from './protections.ts';
import { tellWay } from './tell-way.ts';
import type { Until } from './until.ts';

/** For limits that accept what they refused: a value that conforms now and did not, and a way to the step that judges it. */
export function loosened(c: Comparison, plans: NewPlans, until: Until): readonly ComparedPermitted[] {
  return c.found.flatMap((found, change): readonly ComparedPermitted[] => {
    if (found.kind !== 'tolerance' || !['loosened', 'shifted'].includes(found.change)) return [];
    const names = plans.names.filter(({ variant }) => found.variants?.includes(variant) !== false);
    let why = 'no step of a procedure judges by it';
    for (const name of names) {
      if (until.isOver()) return [{ change, found: 'cut-short', says: overtaken(found) }];
      const plan = plans.of(name);
      if (plan === undefined) continue;
      const shown = inPlan(c, plan, found, change, name, until.isOver);
      if (typeof shown !== 'string') return [shown];
      if (shown !== '') why = shown;
    }
    return [{ change, found: 'not-shown', says: `Of ${found.name} no value was found: ${why}.` }];
  });
}

const overtaken = ({ name }: Found): string =>
  `The time was over before a value was looked for that ${name} accepts now and did not.`;

/** A value and a way to it; a text that says why not, empty where the plan does not judge by it. */
function inPlan(
  c: Comparison,
  plan: Plan,
  found: Found,
  change: number,
  { procedure, variant }: PlanName,
  isOver: () => boolean,
): ComparedPermitted | string {
  const old = limitsFor(
    writtenLimits(mappingOf(at(c.was, found.at.before))),
    mappingOf(c.was['variants'])[oldVariant(c, variant)],
  );
  const numbers = plan.tolerances.flatMap((one, index) => (one.pointer === found.at.after ? [index] : []));
  const judging = plan.nodes.flatMap((node) =>
    node.node === 'step' && node.check?.check === 'tolerance' && numbers.includes(node.check.tolerance)
      ? [node]
      : [],
  );
  if (judging.length === 0) return '';
  if (old === undefined) return 'its limits are worked out from readings';
  for (const node of judging.filter(
    (one, index) => judging.findIndex(({ pointer }) => pointer === one.pointer) === index,
  )) {
    const way = shortestWay(
      plan,
      ({ at: here, hold, bytes }) =>
        here === node.index && hold < 0 && bytes[plan.cells.length + here] === PHASE.judge
          ? { signal: 'judged', outcome: 'conforming' }
          : false,
      isOver,
    );
    if (way.way !== 'found') continue;
    const { signals } = way;
    for (const newly of newlyAccepted(plan, numbers, old)) {
      const replayed = replayWay(newly, signals, { stays: false });
      if (replayed.failed !== undefined) continue;
      const last = replayed.facts.findLast(
        ({ fact }) => fact.kind === 'judged' && numbers.some((one) => plan.tolerances[one]?.name === fact.of),
      );
      const tolerance = plan.tolerances[numbers[0] ?? -1];
      const { value, exact } = last?.fact.kind === 'judged' ? last.fact.verdict : {};
      if (tolerance === undefined || value === undefined || exact === undefined || isWithin(exact, old))
        continue;
      return {
        change,
        found: 'way',
        procedure,
        variant,
        value,
        says: saysOf(value, tolerance),
        way: [...tellWay({ plan, pack: c.new }, signals, replayed, [])],
      };
    }
  }
  return 'no way was found on which a reading lies between the older and the newer limits';
}

const saysOf = (value: string, { title, rule }: PlanTolerance): string =>
  rule.rule === 'simple'
    ? `${value} conforms now (${title}), and lies outside the limits of the older revision.`
    : `${value} lies within the limits now (${title}), and outside those of the older revision. Whether it conforms depends on the uncertainty of the instrument as well (${rule.rule}).`;

const oldVariant = (c: Comparison, now: string): string =>
  Object.keys(c.old.variants).find((name) => c.renames.now(name, 'variants', '') === now) ?? now;

function isWithin(exact: string, { low, high }: Limits): boolean {
  const [above = '', below = '1'] = exact.split('/');
  const value = Rational.parse(above)?.over(Rational.parse(below) ?? Rational.of(1));
  if (value === undefined) return true;
  return (
    (low === undefined || value.compare(low.value) >= 0) &&
    (high === undefined || value.compare(high.value) <= 0)
  );
}

/**
 * The plan with limits that accept only what the older ones did not: beyond its upper limit, and beyond its lower one. A value
 * is looked for by the limits alone, since the uncertainty that a guard band is made of is known only once it is taken.
 */
function* newlyAccepted(plan: Plan, numbers: readonly number[], old: Limits): Generator<Plan> {
  const first = plan.tolerances[numbers[0] ?? -1];
  if (first === undefined) return;
  for (const side of ['high', 'low'] as const) {
    const limits = stretchOf(first, old, side);
    if (limits === undefined) continue;
    const plain = plainly(plan);
    yield {
      ...plain,
      tolerances: plain.tolerances.map((one, index) => (numbers.includes(index) ? { ...one, limits } : one)),
    };
  }
}

const MOST_DIGITS = 4;

/** From one last digit beyond the older limit to the newer one; with more digits where there is less between. */
function stretchOf(
  { limits, unit, decimals }: PlanTolerance,
  old: Limits,
  side: 'high' | 'low',
): Limits | undefined {
  const was = old[side];
  const is = limits[side];
  if (was === undefined) return undefined;
  const sign = side === 'high' ? 1 : -1;
  for (let digits = decimals; digits < decimals + MOST_DIGITS; digits++) {
    const beyond: Amount = {
      kind: was.kind,
      value: sign > 0 ? was.value.plus(digitOf(unit, digits)) : was.value.minus(digitOf(unit, digits)),
    };
    if (is !== undefined && is.value.compare(beyond.value) * sign < 0) continue;
    const other = is === undefined ? {} : { [side]: is };
    return { ...other, [side === 'high' ? 'low' : 'high']: beyond };
  }
  return undefined;
}

const digitOf = (unit: Unit, digits: number): Rational => unit.factor.times(Rational.of(1, 10 ** digits));
