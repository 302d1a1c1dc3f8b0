import type { Plan, PlanHold } from '@ferrule/engine';

/** The holds of a plan as a sheet names them: one label for each place in the pack, whatever bores it stands for. */
export class Holds {
  readonly #plan: Plan;
  readonly #labels = new Map<string, string>();

  constructor(plan: Plan) {
    this.#plan = plan;
    // The first one is the engine's own, for what was struck; a sheet of paper strikes nothing.
    for (const { pointer } of plan.holds.slice(1))
      if (!this.#labels.has(pointer)) this.#labels.set(pointer, `H${this.#labels.size + 1}`);
  }

  /** `H3` for a hold of the plan by its place there. */
  label(hold: number): string {
    return this.#labels.get(this.#plan.holds[hold]?.pointer ?? '') ?? 'H?';
  }

  /** Every label with the holds of the plan that it stands for. */
  get all(): readonly { readonly label: string; readonly holds: readonly PlanHold[] }[] {
    return [...this.#labels].map(([pointer, label]) => ({
      label,
      holds: this.#plan.holds.filter((one) => one.pointer === pointer),
    }));
  }
}
