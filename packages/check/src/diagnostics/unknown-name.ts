import { pointerTo, saysUnknown } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unknownName: DiagnosticKind = {
  code: 'unknown-name',
  severity: 'error',
  says: 'A name is used that is declared nowhere.',
  marks: 'value',
  when: 'written',
  examine: unknownNamesInTrials,
};

/** What the steps name is looked up as they are written out; trials are not. */
function* unknownNamesInTrials({ pack }: Subject): Generator<Finding> {
  const trials = pack.trials ?? {};
  const procedures = Object.keys(pack.procedures);
  const variants = Object.keys(pack.variants);
  const laws = (pack.interlocks ?? []).map((law) => law.law);
  for (const [name, trial] of Object.entries(trials)) {
    const references = [
      ['procedure', trial.procedure, procedures, ['procedure']],
      ['variant', trial.variant, variants, ['variant']],
      ['trial', trial.like, Object.keys(trials), ['like']],
      ['law', trial.expect.law, laws, ['expect', 'law']],
    ] as const;
    for (const [what, value, declared, keys] of references) {
      if (value !== undefined && !declared.includes(value))
        yield { pointer: pointerTo('/trials', name, ...keys), ...saysUnknown(what, value, declared) };
    }
  }
}
