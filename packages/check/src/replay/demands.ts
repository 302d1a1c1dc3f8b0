import {
  advance,
  type Control,
  compile,
  compileAmount,
  type Entry,
  exampleOf,
  isLive,
  judge,
  judgeReadings,
  multiplyAmounts,
  openConditions,
  PHASE,
  type Plan,
  type PlanCondition,
  type PlanElapsed,
  type PlanSelection,
  type PlanTolerance,
  progressOf,
  Rational,
  type Read,
  type Signal,
  sameSignal,
  selectByReadings,
  signals as signalsOf,
  startControl,
  type TypedAmount,
  waysOn,
} from '@ferrule/engine';
import { partsIn, type Typed } from '../parts-in.ts';
import { type Span, Spans } from './spans.ts';
import { type Bounds, boundsOf, canBeJudged, type Known, possibleTruth } from './value-bounds.ts';

type TypedTruth = PlanCondition['lowered']['typed'];

/**
 * One taking of a reading or of a text that a way passes, or a time that passes on it: its value is free, as far as nothing
 * later depends on it.
 */
export interface Unknown {
  readonly id: number;
  /** The place of its signal in the way. */
  readonly signal: number;
  readonly entry: Extract<Entry, { entry: 'reading' | 'field' }>;
  /** It is no taking, but a time that passes. */
  readonly span?: Span;
}

/** What is recorded under a name at one moment of a way: an unknown, a text that the way says, or nothing. */
type Source = Unknown | string | undefined;

/** What values have to bring about at one moment of a way: a verdict or a decision. */
export interface Demand {
  /** The place in the way of the signal that is wanted. */
  readonly signal: number;
  readonly says: string;
  readonly unknowns: readonly Unknown[];
  readonly source: (name: string) => Source;
  /** Whether the values bring it about, by the engine's own judgement; undefined while one that it needs is missing. */
  readonly isMet: (read: Read) => boolean | undefined;
  /** Whether values within bounds could bring it about. */
  readonly canBeMet: (known: Known) => boolean;
  /** Amounts whose signs settle it: it changes only where one of them does. */
  readonly differences: readonly ((read: Read) => Rational | undefined)[];
  /** Amounts written in it, with which values are compared. */
  readonly tolerance?: PlanTolerance;
  readonly outcome?: string;
  /** Texts that are written in it. */
  readonly texts: readonly string[];
  /** Every difference changes in proportion to each value. */
  readonly isLinear: boolean;
}

/** What is the same for every demand at one moment. */
type Basis = Omit<Demand, 'says' | 'isMet' | 'canBeMet' | 'tolerance' | 'outcome'>;

/** A way simulated without numbers: where the job stands before each signal and after the last, and what values must do. */
export interface Simulated {
  readonly controls: readonly Control[];
  readonly unknowns: readonly Unknown[];
  readonly demands: readonly Demand[];
  /** The first signal that cannot happen where it stands. */
  readonly impossible?: number;
}

/** Whether a job has to stop where its way ends; at a choice, because exactly these conditions hold there. */
export type Stays = boolean | readonly string[];

/** Follows a way with `advance`, and notes what its numbers will have to bring about. */
export function simulate(plan: Plan, way: readonly Signal[], stays: Stays = false): Simulated {
  const controls: Control[] = [startControl(plan)];
  const unknowns: Unknown[] = [];
  const demands: Demand[] = [];
  const taken = new Map<number, Source>();
  const spans = new Spans(plan, way, controls);
  const timeOf = (elapsed: PlanElapsed, signal: number): Unknown | undefined => {
    const span = spans.of(elapsed);
    if (span === undefined) return undefined;
    const { name } = elapsed;
    const known = unknowns.find(
      (one) => one.entry.name === name && one.span?.from === span.from && one.span.to === span.to,
    );
    if (known !== undefined) return known;
    const unknown: Unknown = { id: unknowns.length, signal, entry: spans.entryOf(elapsed, span), span };
    unknowns.push(unknown);
    return unknown;
  };
  for (const [number, signal] of way.entries()) {
    const control = controls[number];
    if (control === undefined) break;
    if (!canHappen(plan, control, signal)) return { controls, unknowns, demands, impossible: number };
    demands.push(...demandsAt(plan, control, signal, number, taken, timeOf));
    spans.follow(number);
    switch (signal.signal) {
      case 'recorded': {
        const entry = plan.entries[signal.entry];
        if (entry?.entry !== 'reading' && entry?.entry !== 'field') break;
        const unknown: Unknown = { id: unknowns.length, signal: number, entry };
        unknowns.push(unknown);
        taken.set(signal.entry, unknown);
        break;
      }
      case 'observed': {
        const entry = plan.entries[signal.entry];
        if (entry?.entry === 'observation') taken.set(signal.entry, entry.answers[signal.answer]?.id);
        break;
      }
      case 'identified': {
        // Which number is written down is settled later; a number of this shape stands for it.
        const entry = plan.entries[signal.entry];
        if (entry?.entry === 'identity') taken.set(signal.entry, exampleOf(entry.shape));
        break;
      }
      case 'struck':
        taken.delete(signal.entry);
        break;
      default:
        break;
    }
    controls.push(advance(plan, control, signal));
  }
  const last = controls.at(-1);
  if (stays !== false && last !== undefined) {
    const node = plan.nodes[last.at];
    const open = stays === true || node === undefined ? [] : openConditions(node, plan, last.bytes);
    const truth = open.map((index) => stays !== true && stays.includes(plan.conditions[index]?.says ?? ''));
    const wanted: Signal | undefined = open.length === 0 ? undefined : { signal: 'branched', truth };
    demands.push(...demandsAt(plan, last, wanted, way.length, taken, timeOf));
  }
  return { controls, unknowns, demands };
}

function canHappen(plan: Plan, control: Control, signal: Signal): boolean {
  if (waysOn(plan, control).some((one) => sameSignal(one, signal))) return true;
  const isAside = ['struck', 'undone', 'parked', 'resumed', 'closed'].includes(signal.signal);
  return isAside && signalsOf(plan, control).some((one) => sameSignal(one, signal));
}

/** What follows by itself from the values where the job stands: it has to be the signal that is wanted next, or nothing. */
function demandsAt(
  plan: Plan,
  control: Control,
  signal: Signal | undefined,
  number: number,
  taken: ReadonlyMap<number, Source>,
  timeOf: (elapsed: PlanElapsed, signal: number) => Unknown | undefined,
): readonly Demand[] {
  const node = plan.nodes[control.at];
  if (node === undefined || control.hold >= 0 || control.parked) return [];
  const recorded = new Map<string, Source>([['variant', plan.variant.id]]);
  const base = (entries: readonly number[], typed: Typed, elapsed: readonly number[] = []): Basis => {
    const times = elapsed.flatMap((index) => {
      const one = plan.elapsed[index];
      const unknown = one && timeOf(one, number);
      if (one !== undefined && unknown !== undefined) recorded.set(one.name, unknown);
      return unknown ?? [];
    });
    for (const index of entries) {
      const entry = plan.entries[index];
      if (entry !== undefined && isLive(entry, control.bytes)) recorded.set(entry.name, taken.get(index));
    }
    const unknowns = entries.flatMap((index) => {
      const source = recorded.get(plan.entries[index]?.name ?? '');
      return typeof source === 'object' ? [source] : [];
    });
    return {
      signal: number,
      unknowns: [...unknowns, ...times],
      source: (name: string): Source => recorded.get(name),
      differences: differencesIn(typed),
      texts: textsIn(typed),
      isLinear: isLinear(typed),
    };
  };
  const phase = progressOf(plan, control, control.at);
  if (phase === PHASE.judge && node.node === 'step' && node.check?.check === 'tolerance') {
    const tolerance = plan.tolerances[node.check.tolerance];
    if (tolerance === undefined || signal?.signal !== 'judged') return [];
    const { outcome } = signal;
    const value = compileAmount(tolerance.value);
    const about = base(tolerance.entries, tolerance.value, tolerance.elapsed);
    const limits = limitsIn(tolerance);
    const worked = limits.flatMap((limit) => limit.typed);
    return [
      {
        ...about,
        says: `${tolerance.title} (${tolerance.says}) must come out ${words[outcome]}`,
        isMet: (read) => {
          const measured = value(read);
          if (!('amount' in measured)) return undefined;
          const verdict =
            tolerance.limitsFrom === undefined
              ? judge(tolerance, { amount: measured.amount })
              : judgeReadings(plan, tolerance, read, () => undefined).verdict;
          if (verdict.verdict === 'unmeasured') return undefined;
          return (verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict) === outcome;
        },
        // Limits that are worked out are not bounded here: such a demand is told apart by its differences alone.
        canBeMet: (known) =>
          tolerance.limitsFrom !== undefined ||
          canBeJudged(tolerance, outcome, boundsOf(tolerance.value, known)),
        differences: [
          ...about.differences,
          ...worked.flatMap(differencesIn),
          ...limits.map((limit) => lessOf(readOf(value), limit.at)),
        ],
        texts: [...about.texts, ...worked.flatMap(textsIn)],
        isLinear: about.isLinear && worked.every(isLinear),
        tolerance,
        outcome,
      },
    ];
  }
  if (phase === PHASE.judge && node.node === 'step' && node.check?.check === 'stock') {
    const selection = plan.selections[node.check.selection];
    if (selection === undefined || signal?.signal !== 'judged') return [];
    return [selectionDemand(plan, selection, signal.outcome, base)];
  }
  if (phase !== PHASE.deciding) return [];
  const open = openConditions(node, plan, control.bytes).flatMap((index) => plan.conditions[index] ?? []);
  if (signal?.signal !== 'branched') return undecided(plan, control, open, base);
  return open.map((condition, place): Demand => {
    const wanted = signal.truth[place] === true;
    const truth = compile(condition.lowered.typed);
    return {
      ...base(condition.entries, condition.lowered.typed),
      says: `${condition.says} must ${wanted ? '' : 'not '}hold`,
      isMet: (read) => {
        const found = truth(read).truth;
        return found === undefined ? undefined : found === wanted;
      },
      canBeMet: (known) => possibleTruth(condition.lowered.typed, known)[wanted ? 'yes' : 'no'],
    };
  });
}

/** Something in stock has to do, or none may: that turns where the largest or the smallest total meets a limit. */
function selectionDemand(
  plan: Plan,
  selection: PlanSelection,
  outcome: string,
  base: (entries: readonly number[], typed: TypedAmount) => Basis,
): Demand {
  const { stock, fitted, sensitivity, entries } = selection;
  const tolerance = plan.tolerances[selection.tolerance];
  if (tolerance === undefined) throw new Error(`${selection.name} chooses for no tolerance`);
  const about = base(entries, tolerance.value);
  const [value, size] = [compileAmount(tolerance.value), compileAmount(fitted)];
  const limits = limitsIn(tolerance);
  const worked = limits.flatMap((limit) => limit.typed);
  const ends = [stock.sizes[0]?.value, stock.sizes.at(-1)?.value.times(Rational.of(stock.most))];
  const differences = limits.flatMap(({ at }) =>
    [undefined, ...ends].map((end) => {
      const predicted: Reckoned = (read) => {
        const measured = value(read);
        const now = size(read);
        if (!('amount' in measured) || !('amount' in now)) return undefined;
        const moved = multiplyAmounts(sensitivity, {
          kind: stock.kind,
          value: (end ?? now.amount.value).minus(now.amount.value),
        });
        return 'fault' in moved ? undefined : measured.amount.value.plus(moved.amount.value);
      };
      return lessOf(predicted, at);
    }),
  );
  return {
    ...about,
    says: `${selection.name} must come out ${outcome}`,
    isMet: (read) => {
      const { choice } = selectByReadings(plan, selection, read, () => undefined);
      return choice && (choice.choice === 'chosen') === (outcome === 'conforming');
    },
    canBeMet: () => true,
    differences: [...about.differences, ...worked.flatMap(differencesIn), ...differences],
    texts: [...about.texts, ...worked.flatMap(textsIn)],
    isLinear: about.isLinear && [fitted, ...worked].every(isLinear),
  };
}

/** A choice that has to stay open: a value is missing, or not exactly one case is true. */
function undecided(
  plan: Plan,
  control: Control,
  open: readonly PlanCondition[],
  base: (entries: readonly number[], typed: TypedTruth) => Basis,
): readonly Demand[] {
  const [first] = open;
  if (first === undefined) return [];
  const possible = waysOn(plan, control);
  const truths = open.map((one) => compile(one.lowered.typed));
  const parts = open.map((one) => base(one.entries, one.lowered.typed));
  const demand: Demand = {
    ...base(
      open.flatMap((one) => one.entries),
      first.lowered.typed,
    ),
    says: 'nothing must be decided yet',
    isMet: (read) => {
      const truth = truths.map((one) => one(read).truth);
      if (truth.some((one) => one === undefined)) return true;
      const signal: Signal = { signal: 'branched', truth: truth.map((one) => one === true) };
      return !possible.some((one) => sameSignal(one, signal));
    },
    canBeMet: () => true,
    differences: parts.flatMap((one) => one.differences),
    texts: parts.flatMap((one) => one.texts),
    isLinear: false,
  };
  return [demand];
}

const words = {
  conforming: 'conforming',
  nonconforming: 'nonconforming',
  inconclusive: 'inconclusive',
  high: 'too high',
  low: 'too low',
} as const;

/** Both sides of every comparison, and of every pair among which the lowest or the highest is looked for. */
function differencesIn(typed: Typed): Demand['differences'] {
  return [...partsIn(typed)].flatMap((part) => {
    if (part.node === 'comparison') {
      return part.operands.slice(1).flatMap((right, place) => {
        const left = part.operands[place];
        return left === undefined ? [] : [difference(left, right)];
      });
    }
    if (part.node !== 'calculation' || !['lowest', 'highest', 'spread'].includes(part.operation)) return [];
    return part.operands.flatMap((left, place) =>
      part.operands.slice(place + 1).map((right) => difference(left, right)),
    );
  });
}

interface LimitRead {
  readonly at: (read: Read) => Rational | undefined;
  /** How it is worked out, where it is. */
  readonly typed: readonly TypedAmount[];
}

/** The limits that there are, as written or as they are worked out from readings. */
function limitsIn({ limits, limitsFrom }: PlanTolerance): readonly LimitRead[] {
  return (['low', 'high'] as const).flatMap((side): readonly LimitRead[] => {
    const [written, typed] = [limits[side]?.value, limitsFrom?.[side]];
    if (typed !== undefined) return [{ at: readOf(compileAmount(typed)), typed: [typed] }];
    return written === undefined ? [] : [{ at: () => written, typed: [] }];
  });
}

const readOf =
  (compiled: ReturnType<typeof compileAmount>) =>
  (read: Read): Rational | undefined => {
    const found = compiled(read);
    return 'amount' in found ? found.amount.value : undefined;
  };

function difference(left: TypedAmount, right: TypedAmount): (read: Read) => Rational | undefined {
  return lessOf(readOf(compileAmount(left)), readOf(compileAmount(right)));
}

type Reckoned = (read: Read) => Rational | undefined;

const lessOf =
  (a: Reckoned, b: Reckoned): Reckoned =>
  (read) => {
    const [x, y] = [a(read), b(read)];
    return x !== undefined && y !== undefined ? x.minus(y) : undefined;
  };

function textsIn(typed: Typed): readonly string[] {
  return [...partsIn(typed)].flatMap((part) =>
    part.node === 'membership'
      ? [part.text, ...part.among].flatMap((one) => (one.node === 'literal' ? [one.text] : []))
      : [],
  );
}

/** Sums, differences and means, products with a number and quotients by one, and comparisons of them. */
function isLinear(typed: Typed): boolean {
  return [...partsIn(typed)].every((part) => {
    if (part.node === 'if') return false;
    if (part.node !== 'calculation') return true;
    const [left, right] = part.operands;
    if (part.operation === 'times') return left?.node === 'literal' || right?.node === 'literal';
    if (part.operation === 'over') return right?.node === 'literal';
    return !['lowest', 'highest', 'spread', 'around', 'table'].includes(part.operation);
  });
}

/** What is known of the names that a demand reads, where each unknown lies within its bounds. */
export const knownTo =
  (demand: Demand, boundsOfUnknown: (unknown: Unknown) => Bounds): Known =>
  (name) => {
    const source = demand.source(name);
    if (typeof source !== 'object') return source;
    // Where an angle on a circle lies on the line depends on what it is held against.
    const isOnCircle = source.entry.entry === 'reading' && source.entry.circle !== undefined;
    return isOnCircle ? {} : boundsOfUnknown(source);
  };
