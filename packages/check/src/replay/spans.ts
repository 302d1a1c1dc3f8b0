import {
  type Control,
  type Entry,
  type Plan,
  type PlanElapsed,
  parseQuantity,
  type Quantity,
  Rational,
  type Signal,
} from '@ferrule/engine';
import { secondsAMove } from '../clock.ts';

/** From which signal of a way to which time passes; both come about by a command. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

type Reading = Extract<Entry, { entry: 'reading' }>;

/** Signals that follow by themselves from the command before. */
export const followsByItself = ({ signal }: Signal): boolean => signal === 'judged' || signal === 'branched';

/** So many seconds pass from one signal of a way to another. */
export interface Passing extends Span {
  readonly seconds: number;
}

/** How long what brings a signal about takes at least. */
function leastSeconds(plan: Plan, signal: Signal | undefined, control: Control | undefined): number {
  if (signal === undefined || control === undefined || followsByItself(signal)) return 0;
  const node = plan.nodes[control.at];
  const isWait = signal.signal === 'done' && node?.node === 'step' && node.act?.act === 'wait';
  return secondsAMove(plan) + (isWait ? Math.ceil(node.act.time.value.toNumber()) : 0);
}

/** Rounds in which times are shifted against one another; they come to rest in a few, where they can. */
const MOST_ROUNDS = 100;

/**
 * When each signal of a way comes about, in seconds from the first one, so that exactly the stated times pass: a system of
 * differences, relaxed until it rests. Inside a step nothing is waited for where that can be, since a script lets time pass
 * between steps. Undefined where the times contradict each other.
 */
export function scheduled(
  plan: Plan,
  way: readonly Signal[],
  controls: readonly Control[],
  times: readonly Passing[],
): readonly number[] | undefined {
  const least = way.map((signal, place) => leastSeconds(plan, signal, controls[place]));
  const isInside = way.map((_, place) => place > 0 && controls[place]?.at === controls[place - 1]?.at);
  const relaxed = (isTight: boolean): readonly number[] | undefined => {
    const at = way.map(() => 0);
    const raise = (place: number, to: number): boolean => {
      if ((at[place] ?? 0) >= to) return false;
      at[place] = to;
      return true;
    };
    for (let round = 0; round < MOST_ROUNDS; round++) {
      let isRaised = false;
      for (let place = 1; place < way.length; place++)
        isRaised = raise(place, (at[place - 1] ?? 0) + (least[place] ?? 0)) || isRaised;
      for (const { from, to, seconds } of times) {
        isRaised = raise(to, (at[from] ?? 0) + seconds) || isRaised;
        isRaised = raise(from, (at[to] ?? 0) - seconds) || isRaised;
      }
      for (let place = way.length - 1; place > 0; place--) {
        const isNext = least[place] === 0 || (isTight && isInside[place] === true);
        if (isNext) isRaised = raise(place - 1, (at[place] ?? 0) - (least[place] ?? 0)) || isRaised;
      }
      if (!isRaised) return at;
    }
    return undefined;
  };
  return relaxed(true) ?? relaxed(false);
}

/** More than any limit of a time asks for. */
const LONGEST = Rational.of(30 * 24 * 3600);

/** Follows a way and knows between which of its signals a time passes that is judged. */
export class Spans {
  readonly #plan: Plan;
  readonly #way: readonly Signal[];
  readonly #controls: readonly Control[];
  readonly #doneAt = new Map<number, number>();
  #last = 0;

  /** `controls` are those before each signal, as far as the way was followed. */
  constructor(plan: Plan, way: readonly Signal[], controls: readonly Control[]) {
    this.#plan = plan;
    this.#way = way;
    this.#controls = controls;
  }

  /** Follows the signal at a place of the way. */
  follow(place: number): void {
    const signal = this.#way[place];
    const step = this.#plan.nodes[this.#controls[place]?.at ?? -1];
    if (signal === undefined || followsByItself(signal)) return;
    this.#last = place;
    if (step?.node !== 'step') return;
    const isTaking = ['recorded', 'observed', 'identified'].includes(signal.signal);
    if (step.act === undefined ? isTaking : signal.signal === 'done') this.#doneAt.set(step.index, place);
  }

  /** Between which signals a time passes that is judged now; undefined while it has not begun. */
  of({ since, until }: PlanElapsed): Span | undefined {
    const from = this.#doneAt.get(since);
    const to = until === undefined ? this.#last : this.#doneAt.get(until);
    return from === undefined || to === undefined ? undefined : { from, to };
  }

  /** What stands for a time while its value is looked for: it cannot be shorter than what is done in it takes. */
  entryOf({ name }: PlanElapsed, { from, to }: Span): Reading {
    let least = 0;
    for (let place = from + 1; place <= to; place++)
      least += leastSeconds(this.#plan, this.#way[place], this.#controls[place]);
    const seconds = (many: Rational): Quantity => {
      const read = parseQuantity(`${many.toDecimal(0, 'up')} s`, 'time');
      if (!('quantity' in read)) throw new Error(`${many} s is no time`);
      return read.quantity;
    };
    const shortest = seconds(Rational.of(least));
    return {
      entry: 'reading',
      name,
      title: name,
      cell: -1,
      takers: [],
      judgedBy: [],
      decides: [],
      usedBy: [],
      truths: [],
      guards: [],
      pointer: '',
      kind: 'time',
      unit: shortest.unit,
      // What begins and ends with one command takes no time at all.
      plausible: [shortest, from === to ? shortest : seconds(this.#longest(shortest.value))],
    };
  }

  #longest(least: Rational): Rational {
    const limits = this.#plan.tolerances.flatMap(({ elapsed, limits: { low, high } }) =>
      elapsed === undefined ? [] : [low, high].flatMap((one) => (one?.kind === 'time' ? one.value : [])),
    );
    return limits
      .reduce((most, one) => (one.compare(most) > 0 ? one : most), LONGEST)
      .plus(LONGEST)
      .plus(least);
  }
}
