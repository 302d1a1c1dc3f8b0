import type { Plan, Signal } from '@ferrule/engine';
import { type Refutation, spellOut } from '@ferrule/engine/proof';
import type { Stays } from './replay/demands.ts';
import { type Replayed, replayWay } from './replay/replay-way.ts';

/** The way to what a proof refutes, and whether a real job goes it. */
export interface Counterexample {
  /** Every signal of the way; rounds of a rework that the refutation only counts are written out where `isSpelt`. */
  readonly signals: readonly Signal[];
  readonly isSpelt: boolean;
  /**
   * A job that goes this way through `decide`, or why none does. Undefined where the way could not be written out, and
   * where a job has gone another way to the same fault already: in another variant, or at another bore.
   */
  readonly replayed?: Replayed;
}

/** Writes the ways of refutations out, and drives a job along the first ones to each fault, until one of them is gone. */
export class Counterexamples {
  readonly #bundle: string;
  readonly #tried = new Map<string, number>();

  /** `bundle` is the digest that the jobs are pinned to. */
  constructor(bundle: string) {
    this.#bundle = bundle;
  }

  of(plan: Plan, refutation: Refutation): Counterexample {
    const { trace } = refutation;
    const signals = spellOut(plan, trace);
    if (signals === undefined) return { signals: trace.map((one) => one.signal), isSpelt: false };
    const fault = sameFault(refutation);
    const tries = this.#tried.get(fault) ?? 0;
    if (tries >= MOST_TRIES) return { signals, isSpelt: true };
    const replayed = replayWay(plan, signals, { bundle: this.#bundle, stays: staysAt(refutation) });
    this.#tried.set(fault, replayed.failed === undefined ? MOST_TRIES : tries + 1);
    return { signals, isSpelt: true, replayed };
  }
}

/** Whether the fault is that the job stops there. A reading that is not judged lets it go on. */
function staysAt(refutation: Refutation): Stays {
  if (refutation.property === 'one-case') return refutation.areTrue;
  return refutation.property !== 'judged';
}

/** How many ways to one fault are tried that no job goes. */
const MOST_TRIES = 3;

/** What makes refutations one fault of the pack, in whichever variant and at whichever bore: the property and what it rests on. */
export function sameFault(refutation: Refutation): string {
  switch (refutation.property) {
    case 'ends':
      return `ends ${refutation.guard.pointer} ${unplaced(refutation.guard.because.says)}`;
    case 'law':
      return `law ${refutation.pointer} ${refutation.guard.pointer} ${unplaced(refutation.guard.because.says)}`;
    case 'judged':
      return `judged ${refutation.pointer} ${unplaced(refutation.entry)}`;
    default:
      return `${refutation.property} ${refutation.pointer}`;
  }
}

/** A text that says the same of every bore. */
const unplaced = (text: string): string => text.replace(/(?<=@|\bbore )\d+/g, '');
