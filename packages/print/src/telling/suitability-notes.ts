import {
  type InstrumentUsed,
  type Plan,
  type PlanTolerance,
  type Suitability,
  suitability,
} from '@ferrule/engine';
import { tolerancesNamed } from './titles.ts';

/**
 * What the instruments of a job cannot judge, or only coarsely: one note for each instrument, or for several that take the
 * readings of a tolerance together. Empty when all suffice. What is not known is told only where a decision rule asks for it.
 * With a kind, only what is read by it is looked at.
 */
export function suitabilityNotes(
  plan: Plan,
  instruments: readonly InstrumentUsed[],
  kind?: string,
): readonly string[] {
  const groups = new Map<string, { names: string; found: Suitability[] }>();
  for (const one of suitability(plan, instruments)) {
    if (kind !== undefined && !one.kinds.includes(kind)) continue;
    const isOpen = one.sufficiency === 'unknown' && one.tolerance.rule.rule !== 'simple';
    if (!isOpen && one.sufficiency !== 'coarse' && one.sufficiency !== 'cannot-judge') continue;
    const key = one.kinds.join(' ');
    const group = groups.get(key) ?? { names: namesOf(plan, instruments, one.kinds), found: [] };
    group.found.push(one);
    groups.set(key, group);
  }
  return [...groups.values()].map(({ names, found }) => noteOf(names, found));
}

function noteOf(names: string, found: readonly Suitability[]): string {
  const of = (sufficiency: Suitability['sufficiency']): readonly PlanTolerance[] =>
    found.flatMap((one) => (one.sufficiency === sufficiency ? [one.tolerance] : []));
  const cannot = of('cannot-judge');
  const coarse = of('coarse');
  const unknown = of('unknown');
  const worst = found.find((one) => one.sufficiency === 'cannot-judge') ?? found[0];
  const goodTo =
    worst?.expandedUncertainty === undefined
      ? ''
      : ` It is good to ± ${worst.expandedUncertainty} there, and the limits are ${worst.tolerance.says}.`;
  return [
    names,
    [
      ...(cannot.length === 0 ? [] : [`cannot judge ${tolerancesNamed(cannot)}`]),
      ...(coarse.length === 0 ? [] : [`is coarse for ${tolerancesNamed(coarse)}`]),
      ...(unknown.length === 0 ? [] : [`states no error, and ${tolerancesNamed(unknown)} asks for one`]),
    ].join('; it '),
  ]
    .join(' ')
    .concat(`.${goodTo} Take a finer one where there is one.`);
}

/** The instruments by identity and title; the title alone where nobody named one. */
function namesOf(plan: Plan, instruments: readonly InstrumentUsed[], kinds: readonly string[]): string {
  const names = kinds.map((kind) => {
    const title = plan.instruments.find((one) => one.id === kind)?.title ?? kind;
    const used = instruments.findLast((one) => one.kind === kind);
    return used === undefined ? title : `${title} ${used.identity}`;
  });
  return names.join(' with ') || 'What it is read with';
}
