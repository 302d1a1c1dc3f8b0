import { runTrials } from '@ferrule/check';
import type { Pack, Trial } from '@ferrule/engine';
import type { Comparison } from '../comparison.ts';
import type { ComparedOldTrials, ComparedOtherTrial } from '../document/generated/comparison-document.ts';
import { isMapping } from '../json.ts';
import type { Until } from './until.ts';

/**
 * The trials of the older revision, run under the newer one in its names. One that does not come to what it expects is run
 * under the older revision too, and left out if it failed there as well.
 */
export function runOldTrials(c: Comparison, until: Until): ComparedOldTrials {
  const written = Object.entries(c.old.trials ?? {});
  const { overlaid: _, ...now } = c.new;
  const pack: Pack = {
    ...now,
    ...(c.old.overlaid === undefined ? {} : { overlaid: c.old.overlaid }),
    trials: Object.fromEntries(written.map(([name, trial]) => [name, trialNow(c, trial)])),
  };
  if (written.length > 0) until.onProgress(`the ${written.length} trials of the older revision`);
  const others: ComparedOtherTrial[] = [];
  let run = 0;
  runTrials(pack, BUNDLE, {
    only: () => !until.isOver(),
    onResult: ({ trial, failures }) => {
      run++;
      const old = c.old.trials?.[trial];
      if (failures.length === 0 || old === undefined) return;
      const [before] = runTrials(c.old, BUNDLE, { only: (name) => name === trial });
      if (before === undefined || before.failures.length > 0) {
        run--;
        return;
      }
      const { procedure, variant, says } = old;
      const missing = missingFor(c, old);
      others.push({
        ...{ trial, procedure, variant, says },
        ...(missing === undefined
          ? { now: 'differs', because: [...failures] }
          : { now: 'cannot-run', because: [missing] }),
      });
    },
  });
  return { run, pass: run - others.length, others };
}

/** Why there is no such job any more. */
function missingFor(c: Comparison, { procedure, variant }: Trial): string | undefined {
  const now = c.new.procedures[c.renames.now(procedure, 'procedures', '')];
  const engine = c.renames.now(variant, 'variants', '');
  if (now === undefined) return `The newer revision has no procedure ${procedure}.`;
  if (c.new.variants[engine] === undefined) return `The newer revision has no variant ${variant}.`;
  return now.variants?.includes(engine) === false
    ? `In the newer revision ${procedure} is not for ${variant}.`
    : undefined;
}

/** The jobs of these trials are never kept. */
const BUNDLE = 'sha256:0';

/** A trial of the older revision in the names of the newer one. */
function trialNow(c: Comparison, trial: Trial): Trial {
  const procedure = c.renames.now(trial.procedure, 'procedures', '');
  const now = (name: string): string => {
    const [, path = '', own = name, place = ''] = /^((?:.*[./])?)([^@]*)(@.*)?$/.exec(name) ?? [];
    const any = c.renames.now(own, 'any', procedure);
    return path + (any === own ? c.renames.now(own, 'steps', procedure) : any) + place;
  };
  const keyed = <T>(map: Readonly<Record<string, T>> | undefined): Record<string, T> =>
    Object.fromEntries(Object.entries(map ?? {}).map(([name, value]) => [now(name), value]));
  const { answers, expect } = trial;
  return {
    ...trial,
    procedure,
    variant: c.renames.now(trial.variant, 'variants', ''),
    ...(answers === undefined
      ? {}
      : {
          answers: Object.fromEntries(
            Object.entries(answers).map(([section, map]) => [
              section,
              isMapping(map) && section !== 'persons' ? keyed(map) : map,
            ]),
          ),
        }),
    expect: {
      ...expect,
      ...(expect.hold === undefined ? {} : { hold: now(expect.hold) }),
      ...(expect.holds === undefined ? {} : { holds: expect.holds.map(now) }),
      ...(expect.verdicts === undefined ? {} : { verdicts: keyed(expect.verdicts) }),
    },
  };
}
