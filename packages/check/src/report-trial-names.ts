import { type Pack, pointerTo, type Report } from '@ferrule/engine';

/** Reports names in trials that nothing declares. */
export function reportTrialNames(pack: Pack, report: Report): void {
  const trials = pack.trials ?? {};
  for (const [name, trial] of Object.entries(trials)) {
    const pointer = pointerTo('/trials', name);
    const known = (
      what: string,
      value: string | undefined,
      declared: readonly string[],
      key: string,
    ): void => {
      if (value !== undefined && !declared.includes(value))
        report.unknown(what, value, declared, pointerTo(pointer, key));
    };
    known('procedure', trial.procedure, Object.keys(pack.procedures), 'procedure');
    known('variant', trial.variant, Object.keys(pack.variants), 'variant');
    known('trial', trial.like, Object.keys(trials), 'like');
    const laws = (pack.interlocks ?? []).map((law) => law.law);
    if (trial.expect.law !== undefined && !laws.includes(trial.expect.law)) {
      report.unknown('law', trial.expect.law, laws, pointerTo(pointer, 'expect', 'law'));
    }
  }
}
