import { openConditions } from '../job/index.ts';
import type { Signal } from '../job/signal.ts';
import { controlLength } from '../job/since.ts';
import { namesIn } from '../logic/index.ts';
import { ENTRY, type Plan, type PlanNode, type StepNode } from '../model/plan.ts';
import { reliedOn } from '../model/relied-on.ts';
import type { LiveCell } from './liveness.ts';
import { type Stretches, valueStretches } from './value-stretches.ts';

/** Bits of what is known of a reading beside its cell; they stand behind the bytes of the control. */
interface Watched {
  readonly entry: number;
  readonly cell: number;
  /** Which tolerances judge it as it was read; otherwise every step that relies on it does. */
  readonly judges: ReadonlySet<number>;
  readonly stretches: Stretches | undefined;
  /** Whether something else than a step that takes it itself goes by the stretches: then they matter after that step. */
  readonly isKept: boolean;
}

/**
 * What an exploration keeps of the readings beside the control: whether each still waits for its verdict since it was
 * taken, and in which stretches its value can lie by what has been decided about it. Two bytes a reading, behind the
 * bytes of the control.
 */
export class ReadingsWatched {
  readonly #plan: Plan;
  readonly #from: number;
  readonly #watched: readonly Watched[];
  readonly #placeOf = new Map<number, number>();
  /** By tolerance: the reading that it judges as it was read. */
  readonly #judgedAsRead = new Map<number, number>();

  constructor(plan: Plan) {
    this.#plan = plan;
    this.#from = controlLength(plan);
    const stretches = valueStretches(plan);
    this.#watched = plan.entries.flatMap((entry, index) => {
      if (entry.entry !== 'reading') return [];
      const judges = judgesOf(plan, index);
      const own = stretches.get(index);
      if (judges.size === 0 && own === undefined) return [];
      const isKept = own !== undefined && goesByItLater(plan, index, own);
      return [{ entry: index, cell: entry.cell, judges, stretches: own, isKept }];
    });
    this.#watched.forEach(({ entry, stretches: own }, place) => {
      this.#placeOf.set(entry, place);
      for (const tolerance of own?.judged.keys() ?? []) this.#judgedAsRead.set(tolerance, place);
    });
  }

  get bytes(): number {
    return this.#watched.length * 2;
  }

  #due(place: number): number {
    return this.#from + place * 2;
  }

  #stretch(place: number): number {
    return this.#from + place * 2 + 1;
  }

  /** Whether something can happen by what is known of the values of the readings. */
  allows(node: PlanNode | undefined, signal: Signal, bytes: Uint8Array): boolean {
    if (node === undefined) return true;
    if (signal.signal === 'judged') {
      const limits = this.#limitsOf(node, signal.outcome);
      return limits === undefined || ((bytes[this.#stretch(limits.place)] ?? 0) & limits.bits) !== 0;
    }
    return signal.signal !== 'branched' || this.#narrowed(node, signal.truth, bytes) !== undefined;
  }

  /** Brings what is known up to date after something has happened. `before` is the control that it happened in. */
  follow(node: PlanNode | undefined, signal: Signal, before: Uint8Array, after: Uint8Array): void {
    if (signal.signal === 'recorded') {
      const place = this.#placeOf.get(signal.entry);
      if (place !== undefined) {
        after[this.#due(place)] = (this.#watched[place]?.judges.size ?? 0) > 0 ? 1 : 0;
        after[this.#stretch(place)] = this.#watched[place]?.stretches?.all ?? 0;
      }
    } else if (signal.signal === 'judged' && node !== undefined) {
      const limits = this.#limitsOf(node, signal.outcome);
      if (limits !== undefined) {
        const at = this.#stretch(limits.place);
        after[at] = (after[at] ?? 0) & limits.bits;
      }
      this.#watched.forEach(({ judges }, place) => {
        if (judges.has(node.index)) after[this.#due(place)] = 0;
      });
    } else if (signal.signal === 'branched' && node !== undefined) {
      for (const [place, bits] of this.#narrowed(node, signal.truth, before) ?? [])
        after[this.#stretch(place)] = bits;
    }
    for (let place = 0; place < this.#watched.length; place++) {
      const due = this.#due(place);
      const stretch = this.#stretch(place);
      if (after[due] === 0 && after[stretch] === 0) continue;
      if (after[this.#watched[place]?.cell ?? 0] === ENTRY.held) continue;
      after[due] = 0;
      after[stretch] = 0;
    }
  }

  /** The entries that are recorded and wait for their verdict. */
  waiting(bytes: Uint8Array): readonly number[] {
    return this.#watched.flatMap(({ entry }, place) => (bytes[this.#due(place)] === 1 ? [entry] : []));
  }

  /** Whether a step gives a reading its verdict. */
  isJudgedBy(entry: number, node: number): boolean {
    const place = this.#placeOf.get(entry);
    return place !== undefined && this.#watched[place]?.judges.has(node) === true;
  }

  /** What tells two controls apart besides their live cells. */
  key(bytes: Uint8Array, live: readonly LiveCell[]): string {
    let key = '';
    for (let place = 0; place < this.#watched.length; place++) {
      const due = bytes[this.#due(place)] ?? 0;
      const stretch = bytes[this.#stretch(place)] ?? 0;
      const watched = this.#watched[place];
      if (watched === undefined || (due === 0 && stretch === 0)) continue;
      const { cell, stretches, isKept } = watched;
      const isNarrow =
        isKept && stretch !== 0 && stretch !== stretches?.all && live.some((one) => one.cell === cell);
      if (due === 1 || isNarrow) key += `,${place}:${due}:${isNarrow ? stretch : ''}`;
    }
    return key;
  }

  /**
   * For each stretch of the one reading that a choice looks at, in which not exactly one of its cases is true: the cases that
   * are. A case is a condition over readings, or known to be true or not. None where a choice looks at several readings.
   */
  unfit(
    cases: readonly (number | boolean)[],
    hasOtherwise: boolean,
    bytes: Uint8Array,
  ): readonly (readonly number[])[] {
    const conditions = cases.filter((one) => typeof one === 'number');
    const entries = new Set(conditions.flatMap((one) => this.#plan.conditions[one]?.entries ?? []));
    const [entry] = entries;
    const place = entry === undefined || entries.size > 1 ? undefined : this.#placeOf.get(entry);
    const stretches = place === undefined ? undefined : this.#watched[place]?.stretches;
    if (place === undefined || stretches === undefined) return [];
    const found: (readonly number[])[] = [];
    for (let bit = 1; bit <= stretches.all; bit <<= 1) {
      if (((bytes[this.#stretch(place)] ?? 0) & bit) === 0) continue;
      const truths = cases.map((one) => {
        if (typeof one === 'boolean') return one;
        const bits = stretches.holds.get(one);
        return bits === undefined ? undefined : (bits & bit) !== 0;
      });
      if (truths.includes(undefined)) return [];
      const areTrue = [...cases.keys()].filter((number) => truths[number] === true);
      if (areTrue.length > 1 || (areTrue.length === 0 && !hasOtherwise)) found.push(areTrue);
    }
    return found;
  }

  #limitsOf(node: PlanNode, outcome: string): { readonly place: number; readonly bits: number } | undefined {
    if (node.node !== 'step' || node.check?.check !== 'tolerance') return undefined;
    const place = this.#judgedAsRead.get(node.check.tolerance);
    if (place === undefined || outcome === 'inconclusive') return undefined;
    const outcomes = this.#watched[place]?.stretches?.judged.get(node.check.tolerance);
    return { place, bits: outcomes?.get(outcome) ?? 0 };
  }

  /** What the stretches come to when conditions turn out so; undefined when they cannot. */
  #narrowed(
    node: PlanNode,
    truth: readonly boolean[],
    bytes: Uint8Array,
  ): ReadonlyMap<number, number> | undefined {
    const found = new Map<number, number>();
    for (const [number, condition] of openConditions(node, this.#plan, bytes).entries()) {
      const [entry] = this.#plan.conditions[condition]?.entries ?? [];
      const place = entry === undefined ? undefined : this.#placeOf.get(entry);
      const stretches = place === undefined ? undefined : this.#watched[place]?.stretches;
      const holds = stretches?.holds.get(condition);
      const cell = place === undefined ? -1 : (this.#watched[place]?.cell ?? -1);
      if (place === undefined || stretches === undefined || holds === undefined || bytes[cell] !== ENTRY.held)
        continue;
      const could = found.get(place) ?? bytes[this.#stretch(place)] ?? 0;
      const left = could & (truth[number] === true ? holds : stretches.all & ~holds);
      if (left === 0) return undefined;
      found.set(place, left);
    }
    return found;
  }
}

/** A step that takes the reading and judges it finds every stretch open: it was taken a moment before. */
function goesByItLater(plan: Plan, index: number, { judged, holds }: Stretches): boolean {
  if (holds.size > 0) return true;
  return (plan.entries[index]?.judgedBy ?? []).some((at) => {
    const node = plan.nodes[at];
    const isJudge = node?.node === 'step' && node.check?.check === 'tolerance';
    return isJudge && judged.has(node.check.tolerance) && !node.entries.includes(index);
  });
}

/**
 * The steps of which one has to judge a reading before anything relies on it. A reading that only helps to work out limits has
 * none itself.
 */
function judgesOf(plan: Plan, index: number): ReadonlySet<number> {
  const entry = plan.entries[index];
  const judging = (entry?.judgedBy ?? []).flatMap((at) => {
    const node = plan.nodes[at];
    if (node?.node !== 'step' || isInLimitsOnly(plan, node, entry?.name ?? '')) return [];
    // Who judges only when it was taken does not judge the reading itself.
    return reliedOn(plan, node.check).includes(index) ? [node] : [];
  });
  const direct = judging.filter((node) => judgesAsRead(plan, node, entry?.name ?? ''));
  return new Set((direct.length > 0 ? direct : judging).map((node) => node.index));
}

function isInLimitsOnly(plan: Plan, { check }: StepNode, name: string): boolean {
  const selection = check?.check === 'stock' ? plan.selections[check.selection] : undefined;
  const at = check?.check === 'tolerance' ? check.tolerance : selection?.tolerance;
  const tolerance = at === undefined ? undefined : plan.tolerances[at];
  if (tolerance === undefined) return false;
  const judged = [tolerance.value, ...(selection === undefined ? [] : [selection.fitted])];
  return !judged.some((one) => namesIn(one).includes(name));
}

function judgesAsRead(plan: Plan, node: StepNode, name: string): boolean {
  if (node.check?.check !== 'tolerance') return false;
  const value = plan.tolerances[node.check.tolerance]?.value;
  return value?.node === 'name' && value.name === name;
}
