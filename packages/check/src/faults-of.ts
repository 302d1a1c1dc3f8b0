import { findNode, type Pack, type Plan, resolve } from '@ferrule/engine';
import type { Refutation } from '@ferrule/engine/proof';
import { type Counterexample, sameFault } from './counterexample.ts';
import type { Proof } from './proof.ts';

/** One fault of a pack that its proofs refute, with the way that shows it best. */
export interface ShownFault {
  readonly plan: Plan;
  readonly refutation: Refutation;
  readonly counterexample: Counterexample;
  /** Every variant in which it shows up. */
  readonly variants: readonly string[];
  /** The bores at which the same is so. */
  readonly bores: readonly number[];
}

/** Every fault once: where it shows up in several variants, the shortest way among them, by a job that really goes it if any does. */
export function faultsOf(pack: Pack, proofs: readonly Proof[]): readonly ShownFault[] {
  const plans = new Map<Proof, Plan | undefined>();
  const planOf = (proof: Proof): Plan | undefined => {
    if (!plans.has(proof)) plans.set(proof, resolve(pack, proof).plan);
    return plans.get(proof);
  };
  const groups = new Map<string, { best: Shown; readonly all: Shown[] }>();
  for (const proof of proofs) {
    proof.exploration.refutations.forEach((refutation, index) => {
      const counterexample = proof.counterexamples[index];
      if (counterexample === undefined) return;
      const key = `${proof.procedure} ${sameFault(refutation)}`;
      const shown = { proof, refutation, counterexample };
      const known = groups.get(key) ?? { best: shown, all: [] };
      known.all.push(shown);
      if (isBetter(shown, known.best)) known.best = shown;
      groups.set(key, known);
    });
  }
  return [...groups.values()].flatMap(({ best, all }): readonly ShownFault[] => {
    const plan = planOf(best.proof);
    const { refutation, counterexample } = best;
    const variants = [...new Set(all.map((one) => one.proof.variant))];
    const found = all.map((one) => boreOf(planOf(one.proof), one.refutation));
    const bores = [...new Set(found)].filter((one) => one !== undefined);
    return plan === undefined ? [] : [{ plan, refutation, counterexample, variants, bores }];
  });
}

function boreOf(plan: Plan | undefined, refutation: Refutation): number | undefined {
  if (plan === undefined) return undefined;
  if (refutation.property === 'ends') {
    const bore = /(?:@|\bbore )(\d+)/.exec(refutation.guard.because.says)?.[1];
    return bore === undefined ? undefined : Number(bore);
  }
  return plan.nodes[findNode(plan, refutation.node) ?? -1]?.bore;
}

interface Shown {
  readonly proof: Proof;
  readonly refutation: Refutation;
  readonly counterexample: Counterexample;
}

function isBetter(one: Shown, other: Shown): boolean {
  const [a, b] = [isReplayed(one), isReplayed(other)];
  if (a !== b) return a;
  return one.counterexample.signals.length < other.counterexample.signals.length;
}

const isReplayed = ({ counterexample: { replayed } }: Shown): boolean =>
  replayed !== undefined && replayed.failed === undefined;
