import {
  type Amount,
  type Beyond,
  type Bound,
  exampleOf,
  hasShape,
  judge,
  nearestTurn,
  type Plan,
  type Quantity,
  Rational,
  type Read,
  readEntry,
  undecidedBeyond,
  valueIn,
} from '@ferrule/engine';
import { type Demand, knownTo, type Unknown } from './demands.ts';
import type { Passing } from './spans.ts';
import type { Bounds } from './value-bounds.ts';

/** A value for every unknown as it would be typed, by the id of the unknown; or the outcome that no values were found for. */
export type Found =
  | { readonly typed: ReadonlyMap<number, string> }
  | {
      readonly fails: Demand;
      /** No values at all bring it about together with the rest of the way; otherwise none were found. */
      readonly isImpossible: boolean;
    };

/** How many values are tried for one group of readings that depend on one another. */
const MOST_TRIALS = 4000;

/**
 * Looks for values of readings and texts that bring about everything that a way demands of them. Each group of unknowns that
 * depend on one another is searched by itself: near the limits, one last digit beyond them, and where the amounts that
 * decide are equal. Every candidate is judged by the engine.
 */
export function findValues(
  plan: Plan,
  unknowns: readonly Unknown[],
  demands: readonly Demand[],
  mostTrials: number = MOST_TRIALS,
  earliest: (times: readonly Passing[]) => readonly number[] | undefined = () => undefined,
): Found {
  const typed = new Map<number, string>();
  const passed: Passing[] = [];
  // Times are found one after the other, each not shorter than what was found before asks for.
  for (const group of byEnds(groupsOf(unknowns, demands))) {
    const at = group.unknowns.some((one) => one.span !== undefined) ? earliest(passed) : undefined;
    const shortest = new Map(
      group.unknowns.map(({ id, span }) => [id, span && at ? (at[span.to] ?? 0) - (at[span.from] ?? 0) : 0]),
    );
    const inside = new Search(plan, group, mostTrials, shortest).run();
    const found = 'fails' in inside ? beyondScale(plan, group, mostTrials, inside) : inside;
    if ('fails' in found) return found;
    for (const [id, text] of found.typed) typed.set(id, text);
    for (const { id, span } of group.unknowns)
      if (span !== undefined) passed.push({ ...span, seconds: Number.parseFloat(found.typed.get(id) ?? '') });
  }
  return { typed };
}

/** Groups with times after those without, in the order in which their times end, and of two that end together the shorter first. */
function byEnds(groups: readonly Group[]): readonly Group[] {
  const last = ({ unknowns }: Group): number => Math.max(-1, ...unknowns.map((one) => one.span?.to ?? -1));
  const first = ({ unknowns }: Group): number => Math.max(-1, ...unknowns.map((one) => one.span?.from ?? -1));
  return [...groups].sort((a, b) => last(a) - last(b) || first(b) - first(a));
}

interface Group {
  readonly unknowns: readonly Unknown[];
  readonly demands: readonly Demand[];
}

/** Unknowns that one demand reads belong together. A demand without unknowns is a group by itself. */
function groupsOf(unknowns: readonly Unknown[], demands: readonly Demand[]): readonly Group[] {
  const root = unknowns.map((one) => one.id);
  const find = (id: number): number => {
    let at = id;
    while (root[at] !== undefined && root[at] !== at) at = root[at] ?? at;
    return at;
  };
  for (const { unknowns: together } of demands) {
    for (const one of together.slice(1)) root[find(one.id)] = find(together[0]?.id ?? one.id);
  }
  const groups = new Map<number, { unknowns: Unknown[]; demands: Demand[] }>();
  for (const one of unknowns) {
    const key = find(one.id);
    const group = groups.get(key) ?? { unknowns: [], demands: [] };
    group.unknowns.push(one);
    groups.set(key, group);
  }
  const alone: Group[] = [];
  for (const demand of demands) {
    const [first] = demand.unknowns;
    const group = first === undefined ? undefined : groups.get(find(first.id));
    if (group === undefined) alone.push({ unknowns: [], demands: [demand] });
    else group.demands.push(demand);
  }
  return [...groups.values(), ...alone];
}

/**
 * Tries one reading after the other beyond the scale of its instrument, and a few of them together, where no value inside
 * brings about what is demanded. Where that leads nowhere either, only so many such readings are proved not to do.
 */
function beyondScale(
  plan: Plan,
  group: Group,
  mostTrials: number,
  inside: Extract<Found, { fails: Demand }>,
  depth = 1,
): Found {
  let possible = 0;
  for (const unknown of group.unknowns) {
    for (const bound of boundsBeyond(plan, unknown)) {
      possible += 1;
      const about = group.demands.filter((one) => one.unknowns.includes(unknown));
      if (!about.every((one) => comesOut(one, unknown, bound))) continue;
      const rest = {
        unknowns: group.unknowns.filter((one) => one !== unknown),
        demands: group.demands.filter((one) => !about.includes(one)),
      };
      const onScale = new Search(plan, rest, mostTrials).run();
      const found =
        'fails' in onScale && depth < MOST_BEYOND
          ? beyondScale(plan, rest, mostTrials, onScale, depth + 1)
          : onScale;
      if ('fails' in found) continue;
      const { digits, unit } = bound.amount;
      const text = `${bound.beyond === 'above' ? '>' : '<'} ${digits} ${unit.symbol}`.trim();
      return { typed: new Map(found.typed).set(unknown.id, text) };
    }
  }
  return possible > 1 ? { ...inside, isImpossible: false } : inside;
}

/** So many readings of one group are tried beyond their scales together. */
const MOST_BEYOND = 3;

type BoundOfScale = Bound & { readonly amount: Quantity };

/** Ends of the scale of a reading that it may lie beyond. */
function boundsBeyond(plan: Plan, { entry }: Unknown): readonly BoundOfScale[] {
  const index = plan.entries.indexOf(entry);
  const range =
    entry.entry === 'reading'
      ? plan.instruments.find((one) => one.id === entry.instrument)?.range
      : undefined;
  if (entry.entry !== 'reading' || range === undefined) return [];
  return ([range[1], range[0]] as const).flatMap((amount, side) => {
    const beyond: Beyond = side === 0 ? 'above' : 'below';
    return undecidedBeyond(plan, index, entry, beyond, amount) === undefined ? [{ beyond, amount }] : [];
  });
}

/** A time that has no end is not waited out: ten minutes, or what it has to be at least. */
const soon = (least: Rational): Rational => (least.compare(TEN_MINUTES) > 0 ? least : TEN_MINUTES);
const TEN_MINUTES = Rational.of(600);

/** Whether a demand is met when one of its readings lies beyond its scale. */
function comesOut({ tolerance, outcome }: Demand, { entry }: Unknown, bound: Bound): boolean {
  if (tolerance === undefined) return false;
  const isDirect = tolerance.value.node === 'name' && tolerance.limitsFrom === undefined;
  const verdict = judge(tolerance, isDirect ? { bound } : { beyond: [entry.name] });
  return (verdict.verdict === 'nonconforming' ? verdict.side : verdict.verdict) === outcome;
}

/** The indications that an instrument can show, in the unit of its reading. */
interface Grid {
  readonly step: Rational;
  readonly decimals: number;
}

type Value = Quantity | Amount | string;
type ReadingEntry = Extract<Unknown['entry'], { entry: 'reading' }>;

class Search {
  readonly #plan: Plan;
  readonly #group: Group;
  readonly #shortest: ReadonlyMap<number, number>;
  readonly #bounds = new Map<number, Bounds>();
  readonly #values = new Map<number, Value>();
  #left: number;
  /** The demand that failed after the most unknowns had a value. */
  #worst: { readonly depth: number; readonly demand: Demand } | undefined;

  /** `shortest` is the least number of seconds that a time can be, where others lie inside it. */
  constructor(
    plan: Plan,
    group: Group,
    mostTrials: number,
    shortest: ReadonlyMap<number, number> = new Map(),
  ) {
    this.#plan = plan;
    this.#shortest = shortest;
    this.#group = group;
    this.#left = mostTrials;
  }

  run(): Found {
    const { unknowns, demands } = this.#group;
    this.#narrow();
    for (const demand of demands) {
      if (!demand.canBeMet(knownTo(demand, (one) => this.#bounds.get(one.id) ?? {})))
        return { fails: demand, isImpossible: true };
    }
    const most = this.#left;
    for (const isFine of [false, true]) {
      this.#left = most;
      if (this.#place(0, isFine)) {
        return {
          typed: new Map(unknowns.map((one) => [one.id, this.#textOf(one)] as const)),
        };
      }
    }
    const fails = this.#worst?.demand ?? demands[0];
    if (fails === undefined) return { typed: new Map() };
    return { fails, isImpossible: this.#isRefuted() };
  }

  /** Where each reading can lie at all: what is plausible, inside the range of its instrument, and as it is judged itself. */
  #narrow(): void {
    for (const { id, entry } of this.#group.unknowns) {
      if (entry.entry !== 'reading') continue;
      const instrument = this.#plan.instruments.find((one) => one.id === entry.instrument);
      const isSeen = instrument !== undefined && entry.circle === undefined;
      const ends = [entry.plausible, ...(isSeen ? [instrument.range] : [])];
      const others = this.#shortest.get(id) ?? 0;
      const lows = ends.map((one) => one[0].value);
      if (others > 0) lows.push(Rational.of(Math.ceil(others)));
      const highs = ends.map((one) => one[1].value);
      this.#bounds.set(id, { low: furthest(lows, 1), high: furthest(highs, -1) });
    }
    for (const { tolerance, outcome, unknowns } of this.#group.demands) {
      const [only] = unknowns;
      if (tolerance?.value.node !== 'name' || only === undefined) continue;
      const { low, high } = tolerance.limits;
      if (tolerance.circle !== undefined) this.#turn(only.id, tolerance.circle, [low, high]);
      const known = this.#bounds.get(only.id) ?? {};
      const lowest = outcome === 'high' ? high?.value : outcome === 'conforming' ? low?.value : undefined;
      const highest = outcome === 'low' ? low?.value : outcome === 'conforming' ? high?.value : undefined;
      const lows = [known.low, lowest].filter((one) => one !== undefined);
      const highs = [known.high, highest].filter((one) => one !== undefined);
      this.#bounds.set(only.id, { low: furthest(lows, 1), high: furthest(highs, -1) });
    }
  }

  /** Moves what an angle on a circle can be by whole turns, to where it lies nearest to its limits. */
  #turn(id: number, circle: Rational, limits: readonly (Amount | undefined)[]): void {
    const { low, high } = this.#bounds.get(id) ?? {};
    const [one, other = one] = limits.flatMap((limit) => limit?.value ?? []);
    if (low === undefined || high === undefined || one === undefined || other === undefined) return;
    const by = nearestTurn(middle(low, high), circle, middle(one, other)).minus(middle(low, high));
    this.#bounds.set(id, { low: low.plus(by), high: high.plus(by) });
  }

  /** Gives the unknowns from one on a value each, and takes it back where what follows cannot be. */
  #place(depth: number, isFine: boolean): boolean {
    const { unknowns, demands } = this.#group;
    const unknown = unknowns[depth];
    if (unknown === undefined) return demands.every((one) => this.#holds(one, depth));
    for (const value of this.#candidates(unknown, isFine)) {
      if (this.#left <= 0) break;
      this.#left -= 1;
      this.#values.set(unknown.id, value);
      const about = demands.filter((one) => one.unknowns.includes(unknown));
      if (about.every((one) => this.#holds(one, depth)) && this.#place(depth + 1, isFine)) return true;
    }
    this.#values.delete(unknown.id);
    return false;
  }

  /** Whether a demand is met, or still can be while some of its unknowns have no value. */
  #holds(demand: Demand, depth: number): boolean {
    const met = demand.isMet(this.#read(demand));
    const isOpen = met === undefined && demand.unknowns.some((one) => !this.#values.has(one.id));
    const holds = isOpen ? demand.canBeMet(knownTo(demand, (one) => this.#boundsNow(one))) : met === true;
    if (!holds && (this.#worst === undefined || depth >= this.#worst.depth)) this.#worst = { depth, demand };
    return holds;
  }

  #boundsNow(unknown: Unknown): Bounds {
    const value = this.#values.get(unknown.id);
    return typeof value === 'object'
      ? { low: value.value, high: value.value }
      : (this.#bounds.get(unknown.id) ?? {});
  }

  #read(demand: Demand, standIn?: (unknown: Unknown) => Value | undefined): Read {
    return (name) => {
      const source = demand.source(name);
      if (typeof source !== 'object') return source;
      const value = this.#values.get(source.id) ?? standIn?.(source);
      const circle = source.entry.entry === 'reading' ? source.entry.circle : undefined;
      if (circle === undefined || typeof value !== 'object') return value;
      return { kind: value.kind, value: value.value.mod(circle) };
    };
  }

  *#candidates(unknown: Unknown, isFine: boolean): Generator<Value> {
    const { entry } = unknown;
    if (entry.entry === 'field') {
      const { shape } = entry;
      const texts = this.#group.demands.flatMap((one) => one.texts);
      const sample = shape === undefined ? 'As found' : exampleOf(shape);
      yield* [sample, ...texts].filter((one) => shape === undefined || hasShape(one, shape));
      return;
    }
    const grid = this.#gridOf(entry, isFine);
    const aim = this.#aim(unknown, entry);
    // Mostly what is aimed at will do, and nothing else has to be looked for.
    const aims = aim === undefined ? [] : inOrder(around(aim, grid), aim);
    for (const point of aims) yield* this.#indication(unknown, entry, point, grid);
    const points = this.#pointsOf(unknown, entry).flatMap((point) => around(point, grid));
    for (const point of inOrder(points, aim))
      if (!aims.some((one) => one.equals(point))) yield* this.#indication(unknown, entry, point, grid);
  }

  *#indication(unknown: Unknown, entry: ReadingEntry, point: Rational, grid: Grid): Generator<Quantity> {
    const { symbol } = entry.unit;
    const text = `${point.toDecimal(grid.decimals)}${symbol === '' ? '' : ` ${symbol}`}`;
    const read = readEntry(text, entry);
    if ('quantity' in read && this.#isInside(unknown, read.quantity.value)) yield read.quantity;
  }

  #isInside({ id }: Unknown, value: Rational): boolean {
    const { low, high } = this.#bounds.get(id) ?? {};
    return (low === undefined || value.compare(low) >= 0) && (high === undefined || value.compare(high) <= 0);
  }

  /**
   * Points that divide the values of an unknown into stretches in which nothing changes, and one inside each of them, in
   * its unit. Unknowns without a value are taken to be where they probably will be.
   */
  #pointsOf(unknown: Unknown, entry: ReadingEntry): readonly Rational[] {
    const { low, high } = this.#bounds.get(unknown.id) ?? {};
    if (low === undefined || high === undefined) return [];
    const inUnit = (value: Rational): Rational => valueIn({ kind: entry.kind, value }, entry.unit);
    const aim = this.#aim(unknown, entry);
    const points = [inUnit(low), ...(aim === undefined ? [] : [aim]), inUnit(high)];
    const others = (one: Unknown): Value | undefined => this.#probable(one);
    for (const demand of this.#group.demands) {
      if (!demand.unknowns.includes(unknown)) continue;
      for (const difference of demand.differences) {
        const at = (point: Rational): Rational | undefined => {
          const before = this.#values.get(unknown.id);
          this.#values.set(unknown.id, amountAt(point, entry));
          const found = difference(this.#read(demand, others));
          if (before === undefined) this.#values.delete(unknown.id);
          else this.#values.set(unknown.id, before);
          return found;
        };
        points.push(...rootsAmong(points, at));
      }
    }
    const sorted = inOrder(points, undefined);
    const inside = sorted.slice(1).map((point, place) => middle(sorted[place] ?? point, point));
    return [...sorted, ...inside];
  }

  #probable(unknown: Unknown): Value | undefined {
    const { entry } = unknown;
    if (entry.entry === 'field') return entry.shape === undefined ? 'As found' : exampleOf(entry.shape);
    const aim = this.#aim(unknown, entry);
    return aim === undefined ? undefined : amountAt(aim, entry);
  }

  /** Where a value would best be, in its unit: nominal or amid what it may be; beyond a limit, close to it. */
  #aim({ id, span }: Unknown, entry: ReadingEntry): Rational | undefined {
    const { low, high } = this.#bounds.get(id) ?? {};
    if (low === undefined || high === undefined) return undefined;
    const own = this.#group.demands.find(
      ({ tolerance, unknowns }) => tolerance?.value.node === 'name' && unknowns[0]?.id === id,
    );
    const { limits } = own?.tolerance ?? {};
    const best =
      own?.outcome === 'high'
        ? low
        : own?.outcome === 'low'
          ? high
          : (limits?.nominal?.value ??
            (span === undefined ? middle(low, high) : own === undefined ? soon(low) : low));
    return valueIn({ kind: entry.kind, value: best }, entry.unit);
  }

  #gridOf(entry: ReadingEntry, isFine: boolean): Grid {
    const instrument = this.#plan.instruments.find((one) => one.id === entry.instrument);
    const written = this.#group.demands.flatMap(({ tolerance }) =>
      tolerance === undefined ? [] : [tolerance.limits.low, tolerance.limits.high, tolerance.limits.nominal],
    );
    const amounts = [...entry.plausible, ...written].filter((one) => one?.kind === entry.kind);
    const isWhole = entry.kind === 'count' || entry.kind === 'strokes';
    const digits = Math.max(
      0,
      ...amounts.map((one) => (one === undefined ? 0 : (placesOf(valueIn(one, entry.unit)) ?? 0))),
    );
    const decimals = isWhole ? 0 : digits + (isFine ? 2 : 0);
    const resolution = instrument?.resolution.value.over(entry.unit.factor);
    const places = resolution === undefined ? undefined : placesOf(resolution);
    if (!isFine && resolution !== undefined && resolution.sign > 0 && places !== undefined)
      return { step: resolution, decimals: places };
    return { step: Rational.of(1, 10 ** decimals), decimals };
  }

  #textOf(unknown: Unknown): string {
    const value = this.#values.get(unknown.id);
    if (typeof value === 'string') return value;
    if (value === undefined || !('digits' in value)) return '';
    const { symbol } = value.unit;
    const digits = this.#digitsShown(unknown.entry, value);
    return symbol === '' ? digits : `${digits} ${symbol}`;
  }

  /** An angle on a circle is typed as its instrument shows it. */
  #digitsShown(entry: Unknown['entry'], { value, unit, digits, decimals, kind }: Quantity): string {
    if (entry.entry !== 'reading' || entry.circle === undefined) return digits;
    const range = this.#plan.instruments.find((one) => one.id === entry.instrument)?.range;
    const shown =
      range === undefined
        ? value.mod(entry.circle)
        : nearestTurn(value, entry.circle, middle(range[0].value, range[1].value));
    return valueIn({ kind, value: shown }, unit).toDecimal(decimals);
  }

  /** Whether it is certain that no values at all meet every demand, on or beside the indications of the instruments. */
  #isRefuted(): boolean {
    const { unknowns, demands } = this.#group;
    this.#values.clear();
    const [only] = unknowns;
    // Without any unknown everything is settled.
    if (only === undefined) return true;
    if (
      unknowns.length > 1 ||
      only.entry.entry !== 'reading' ||
      only.entry.circle !== undefined ||
      !demands.every((one) => one.isLinear)
    )
      return this.#isRefutedByStretches();
    const { entry } = only;
    return !this.#pointsOf(only, entry).some((point) => {
      this.#values.set(only.id, amountAt(point, entry));
      return demands.every((one) => one.isMet(this.#read(one)) === true);
    });
  }

  /** Divides the values of each unknown into stretches, and looks whether every combination of them fails some demand. */
  #isRefutedByStretches(): boolean {
    const { unknowns, demands } = this.#group;
    const points = new Map(
      unknowns.map(({ id, entry }, place) => {
        const unknown = unknowns[place];
        const found =
          entry.entry === 'reading' && unknown !== undefined
            ? this.#pointsOf(unknown, entry).map((point) => amountAt(point, entry).value)
            : [];
        return [id, inOrder(found, undefined)] as const;
      }),
    );
    const waiting: ReadonlyMap<number, Bounds>[] = [this.#bounds];
    for (let seen = 0; ; seen++) {
      const box = waiting.pop();
      if (box === undefined) return true;
      const canBe = demands.every((one) => one.canBeMet(knownTo(one, ({ id }) => box.get(id) ?? {})));
      if (!canBe) continue;
      const cut = seen < MOST_BOXES ? widestCut(box, points) : undefined;
      if (cut === undefined) return false;
      const { id, at } = cut;
      const known = box.get(id) ?? {};
      waiting.push(new Map(box).set(id, { ...known, high: at }), new Map(box).set(id, { ...known, low: at }));
    }
  }
}

/** How many combinations of stretches are looked at. */
const MOST_BOXES = 500;

/** The unknown with the most points inside its bounds, and the middle one of them. */
function widestCut(
  box: ReadonlyMap<number, Bounds>,
  points: ReadonlyMap<number, readonly Rational[]>,
): { readonly id: number; readonly at: Rational } | undefined {
  let most: { readonly id: number; readonly inside: readonly Rational[] } | undefined;
  for (const [id, all] of points) {
    const { low, high } = box.get(id) ?? {};
    if (low === undefined || high === undefined) continue;
    const inside = all.filter((one) => one.compare(low) > 0 && one.compare(high) < 0);
    if (inside.length > (most?.inside.length ?? 0)) most = { id, inside };
  }
  const at = most?.inside[Math.floor(most.inside.length / 2)];
  return most === undefined || at === undefined ? undefined : { id: most.id, at };
}

function amountAt(point: Rational, { kind, unit }: ReadingEntry): Amount {
  const scaled = point.times(unit.factor);
  return { kind, value: unit.offset === undefined ? scaled : scaled.plus(unit.offset) };
}

const TWO = Rational.of(2);
const middle = (a: Rational, b: Rational): Rational => a.plus(b).over(TWO);

function furthest(all: readonly Rational[], way: -1 | 1): Rational {
  return all.reduce((far, one) => (one.compare(far) === way ? one : far));
}

const MOST_PLACES = 6;

/** How many decimals a number has; undefined when they do not end soon. */
function placesOf(value: Rational): number | undefined {
  for (let places = 0; places <= MOST_PLACES; places++)
    if (Rational.parse(value.toDecimal(places))?.equals(value)) return places;
  return undefined;
}

/** The indications at, just below and just above a point. */
function around(point: Rational, { step }: Grid): readonly Rational[] {
  const below = point.over(step).floor();
  return [-1, 0, 1, 2].map((more) => below.plus(Rational.of(more)).times(step));
}

/** Each value once, the ones near the aim first; without an aim, ascending. */
function inOrder(points: readonly Rational[], aim: Rational | undefined): readonly Rational[] {
  const key = (point: Rational): Rational => (aim === undefined ? point : point.minus(aim).abs());
  const sorted = [...points].sort((a, b) => key(a).compare(key(b)) || a.compare(b));
  return sorted.filter((one, place) => place === 0 || !sorted[place - 1]?.equals(one));
}

const MOST_HALVINGS = 24;

/** Where an amount passes zero between neighbouring points: exactly where it is straight between them, else closely. */
function rootsAmong(
  points: readonly Rational[],
  at: (point: Rational) => Rational | undefined,
): readonly Rational[] {
  const sorted = inOrder(points, undefined);
  const found: Rational[] = [];
  for (const [place, right] of sorted.entries()) {
    const left = sorted[place - 1];
    const after = at(right);
    const before = left === undefined ? undefined : at(left);
    if (after?.sign === 0) found.push(right);
    if (left === undefined || before === undefined || after === undefined) continue;
    if (before.sign * after.sign < 0) found.push(rootBetween(left, before, right, after, at));
  }
  return found;
}

function rootBetween(
  from: Rational,
  fromValue: Rational,
  to: Rational,
  toValue: Rational,
  at: (point: Rational) => Rational | undefined,
): Rational {
  let [left, before, right, after] = [from, fromValue, to, toValue];
  let guess = left.plus(right.minus(left).times(before).over(before.minus(after)));
  for (let halving = 0; halving < MOST_HALVINGS; halving++) {
    const value = at(guess);
    if (value === undefined || value.sign === 0) return guess;
    if (value.sign === before.sign) [left, before] = [guess, value];
    else [right, after] = [guess, value];
    guess = middle(left, right);
  }
  return guess;
}
