import { constantsComparedWith, evaluate, namesIn, type TypedTruth } from '../logic/index.ts';
import { judge } from '../measure/index.ts';
import type { Entry, Plan } from '../model/plan.ts';
import { Rational } from '../quantity/index.ts';

/**
 * The stretches into which the plausible values of one reading fall when they are cut at every constant that they are
 * compared with. What is compared with such constants alone comes out in one way all over a stretch. A set of stretches
 * is written as bits.
 */
export interface Stretches {
  readonly all: number;
  /** For each tolerance that judges the reading as it was read: where each outcome comes out. */
  readonly judged: ReadonlyMap<number, ReadonlyMap<string, number>>;
  /** For each condition over this reading alone: where it is true. */
  readonly holds: ReadonlyMap<number, number>;
}

/** A set of stretches is one byte. A reading that is compared with more constants is not cut: its outcomes stay free. */
const MOST_STRETCHES = 8;
const HALF = Rational.of(1, 2);
/**
 * Whatever the rule, what conforms lies inside its limits and what does not lies outside; that a verdict can be
 * inconclusive as well says nothing about the value.
 */
const simply = { rule: 'simple', warnAbove: Rational.one } as const;

/** The stretches of each reading, by the place of its entry; none where nothing compares it with constants alone. */
export function valueStretches(plan: Plan): ReadonlyMap<number, Stretches> {
  const found = new Map<number, Stretches>();
  plan.entries.forEach((entry, index) => {
    // An angle on a circle is held against each of its limits after another number of turns: it is not cut.
    const isCut = entry.entry === 'reading' && entry.circle === undefined;
    const stretches = isCut ? stretchesOf(plan, entry, index) : undefined;
    if (stretches !== undefined) found.set(index, stretches);
  });
  return found;
}

function stretchesOf(
  plan: Plan,
  entry: Extract<Entry, { entry: 'reading' }>,
  index: number,
): Stretches | undefined {
  const tolerances = plan.tolerances.flatMap((one, place) =>
    one.value.node === 'name' && one.value.name === entry.name && one.limitsFrom === undefined
      ? [{ one, place }]
      : [],
  );
  const conditions = plan.conditions.flatMap((one, place) =>
    one.entries.length === 1 && one.entries[0] === index && comparesOnly(one.lowered.typed)
      ? [{ one, place }]
      : [],
  );
  if (tolerances.length + conditions.length === 0) return undefined;
  const constants = [
    ...tolerances.flatMap(({ one }) =>
      [one.limits.low, one.limits.high].flatMap((limit) => limit?.value ?? []),
    ),
    ...conditions.flatMap(({ one }) =>
      constantsComparedWith(one.lowered.typed, entry.name).map((constant) => constant.value),
    ),
  ];
  const [lowest, highest] = entry.plausible;
  const points = [lowest.value, ...constants, highest.value]
    .filter((one) => one.compare(lowest.value) >= 0 && one.compare(highest.value) <= 0)
    .sort((a, b) => a.compare(b));
  const samples = points.flatMap((point, place) => {
    const next = points[place + 1];
    return next === undefined ? [point] : [point, point.plus(next).times(HALF)];
  });
  const known = new Map<string, number>();
  const judged = new Map(tolerances.map(({ place }) => [place, new Map<string, number>()] as const));
  const holds = new Map<number, number>(conditions.map(({ place }) => [place, 0]));
  for (const value of samples) {
    const amount = { kind: entry.kind, value };
    const outcomes = tolerances.map(({ one }) => {
      const verdict = judge({ ...one, rule: simply }, { amount });
      return verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict;
    });
    const truths = conditions.map(({ one }) => evaluate(one.lowered, () => amount).truth === true);
    const key = [...outcomes, ...truths].join(' ');
    const bit = 1 << (known.get(key) ?? known.size);
    if (!known.has(key)) known.set(key, known.size);
    if (known.size > MOST_STRETCHES) return undefined;
    tolerances.forEach(({ place }, number) => {
      const bits = judged.get(place);
      const outcome = outcomes[number] ?? '';
      bits?.set(outcome, (bits.get(outcome) ?? 0) | bit);
    });
    conditions.forEach(({ place }, number) => {
      if (truths[number] === true) holds.set(place, (holds.get(place) ?? 0) | bit);
    });
  }
  return { all: (1 << known.size) - 1, judged, holds };
}

/** Whether a condition is made of comparisons of its one name with constants alone. */
function comparesOnly(typed: TypedTruth): boolean {
  switch (typed.node) {
    case 'literal':
      return true;
    case 'comparison':
      return typed.operands.every((one) => one.node === 'name' || namesIn(one).length === 0);
    case 'connective':
      return typed.operands.every(comparesOnly);
    default:
      return false;
  }
}
