import { type Pack, type Plan, Report, resolve } from '@ferrule/engine';
import { runTrial, type TrialResult } from './run-trial.ts';

/**
 * Runs every trial of a pack, or the ones that are named. A plan is made once for each procedure and variant. Where an
 * overlay was laid over the pack its own trials are run: those of the pack speak of the pack without it.
 */
export function runTrials(
  pack: Pack,
  bundle: string,
  options: {
    readonly only?: (name: string) => boolean;
    readonly onResult?: (result: TrialResult) => void;
  } = {},
): readonly TrialResult[] {
  const plans = new Map<string, Plan | undefined>();
  const planFor = (procedure: string, variant: string): Plan | undefined => {
    const key = `${procedure} ${variant}`;
    if (!plans.has(key)) plans.set(key, resolve(pack, { procedure, variant }, new Report()).plan);
    return plans.get(key);
  };
  const results: TrialResult[] = [];
  const own = pack.overlaid && new Set(pack.overlaid.trials);
  for (const [name, trial] of Object.entries(pack.trials ?? {})) {
    if (options.only?.(name) === false || own?.has(name) === false) continue;
    const plan = planFor(trial.procedure, trial.variant);
    const { procedure, variant, says } = trial;
    const result: TrialResult =
      plan === undefined
        ? {
            trial: name,
            procedure,
            variant,
            says,
            failures: [`${procedure} cannot be resolved for ${variant}: see check.`],
            facts: [],
            refusedBy: [],
          }
        : runTrial(pack, name, trial, plan, bundle);
    results.push(result);
    options.onResult?.(result);
  }
  return results;
}
