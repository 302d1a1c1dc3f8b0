import { type Coverage, type CoverageItem, coverageOf, runTrials } from '@ferrule/check';
import { type Pack, pointerTo, type Span } from '@ferrule/engine';
import type { OnProgress } from '../long-work/working.ts';
import type { TypeOf } from '../schema.ts';
import type { trialsDocument } from './examination-documents.ts';
import type { Places } from './places.ts';

type Tried = TypeOf<typeof trialsDocument>;
type Unreached = Tried['coverage'][number]['unreached'][number];

/** Runs the trials of a pack and looks what they reach. */
export function trialsAnswer(
  pack: Pack,
  digest: string,
  places: Places,
  onProgress: OnProgress,
): Pick<Tried, 'trials' | 'coverage'> {
  const count = Object.keys(pack.trials ?? {}).length;
  let done = 0;
  const results = runTrials(pack, digest, {
    onResult: ({ trial }) => {
      done += 1;
      onProgress({ doing: `running the trial ${trial}`, done, of: count });
    },
  });
  const coverage = coverageOf(pack, results, (procedure, variant, done, of) =>
    onProgress({ doing: `looking what the trials reach of ${procedure} for ${variant}`, done, of }),
  );
  return {
    trials: results.map(({ trial, says, procedure, variant, facts, failures }) => ({
      ...{ trial, says, procedure, variant, facts: facts.length, failures },
      ...placed(places.at(pointerTo('/trials', trial))),
    })),
    coverage: coverage.map((one) => reachedOf(pack, one, places)),
  };
}

const placed = (span: Span | undefined) => (span === undefined ? {} : { place: span });

function reachedOf(
  pack: Pack,
  { procedure, variants, items }: Coverage,
  places: Places,
): Tried['coverage'][number] {
  return {
    procedure,
    title: pack.procedures[procedure]?.title ?? procedure,
    variants: variants.map(({ variant, groups }) => ({
      variant,
      title: pack.variants[variant]?.title ?? variant,
      groups,
    })),
    unreached: items
      .flatMap((item): readonly Unreached[] => {
        const { kind, pointer, why } = item;
        if (why === undefined) return [];
        const lacking = item.variants.filter((one) => one.trials.length === 0 && one.reachable);
        return [
          {
            ...{ kind, why, standing: standingOf(item), variants: lacking.map((one) => one.variant) },
            ...placed(places.at(pointer)),
          },
        ];
      })
      .sort(byPlace),
  };
}

const standingOf = ({ standing }: CoverageItem): Unreached['standing'] =>
  standing === 'reached' ? 'reached-for-some' : standing;

function byPlace(a: { readonly place?: Span }, b: { readonly place?: Span }): number {
  if (a.place === undefined || b.place === undefined) return 0;
  if (a.place.file !== b.place.file) return a.place.file < b.place.file ? -1 : 1;
  return a.place.line - b.place.line || a.place.column - b.place.column;
}
