import { jobsOf } from '@ferrule/check';
import { type Pack, type Plan, Report, resolve } from '@ferrule/engine';
import { validate } from '@ferrule/engine/validate';
import type { Comparison } from '../comparison.ts';

/** A job of the newer revision for a variant that the older one has too. */
export interface PlanName {
  readonly procedure: string;
  readonly variant: string;
}

/** The plans of the newer revision, made when they are asked for, as it is or with something of the older one put back. */
export class NewPlans {
  readonly names: readonly PlanName[];
  readonly #pack: Pack;
  readonly #made = new Map<string, Plan | undefined>();

  constructor(c: Comparison) {
    this.#pack = c.new;
    const variants = new Set(Object.keys(c.old.variants).map((name) => c.renames.now(name, 'variants', '')));
    const procedures = new Set(
      Object.keys(c.old.procedures).map((name) => c.renames.now(name, 'procedures', '')),
    );
    this.names = jobsOf(c.new)
      .filter((procedure) => procedures.has(procedure))
      .flatMap((procedure) =>
        (c.new.procedures[procedure]?.variants ?? Object.keys(c.new.variants))
          .filter((variant) => variants.has(variant))
          .map((variant) => ({ procedure, variant })),
      );
  }

  /** Undefined where it has faults. */
  of(name: PlanName): Plan | undefined {
    const key = `${name.procedure} ${name.variant}`;
    if (!this.#made.has(key)) this.#made.set(key, planOf(this.#pack, name));
    return this.#made.get(key);
  }
}

/** The pack of a document, or undefined where it does not hold against the format. */
export const packOf = (document: unknown): Pack | undefined => validate(document).pack;

/** The plan of one job, or undefined where it has faults. */
export function planOf(pack: Pack, name: PlanName): Plan | undefined {
  const report = new Report();
  const { plan } = resolve(pack, name, report);
  return report.hasErrors ? undefined : plan;
}
