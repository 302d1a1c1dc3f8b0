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
    for (let place = from + 1; place <= to; place++) {
      const signal = this.#way[place];
      if (signal === undefined || followsByItself(signal)) continue;
      const node = this.#plan.nodes[this.#controls[place]?.at ?? -1];
      const wait =
        signal.signal === 'done' && node?.node === 'step' && node.act?.act === 'wait' ? node.act : undefined;
      least += secondsAMove(this.#plan) + Math.ceil(wait?.time.value.toNumber() ?? 0);
    }
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
      plausible: [shortest, seconds(this.#longest(shortest.value))],
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
