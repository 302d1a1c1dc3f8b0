import type { Plan } from '@ferrule/engine';
import type { Proof } from './proof.ts';

/** Proofs of earlier checks, each kept for as long as its plan stays as it is: who checks again after each change waits less. */
export class ProvenPlans {
  readonly #known = new Map<string, { readonly written: string; readonly proof: Proof }>();

  /** The proof of a plan, from before if nothing in the plan has changed. One that was cut short is made again. */
  of(plan: Plan, prove: () => Proof): Proof {
    const name = `${plan.procedure.id} ${plan.variant.id}`;
    const written = JSON.stringify(plan, (_, value: unknown) =>
      value instanceof Map || value instanceof Set ? [...value] : value,
    );
    const known = this.#known.get(name);
    if (known?.written === written) return known.proof;
    const proof = prove();
    if (proof.exploration.cutShort) this.#known.delete(name);
    else this.#known.set(name, { written, proof });
    return proof;
  }
}
