import {
  findEntry,
  type Plan,
  type PlanTolerance,
  type WrittenAssessment,
  type WrittenVerdict,
} from '@ferrule/engine';
import { derivationOf } from './derivation.ts';
import { likelyInside } from './likely-inside.ts';
import type { Telling } from './telling.ts';
import { answerText, entryTitle } from './titles.ts';

export const toleranceOf = (plan: Plan, name: string): PlanTolerance | undefined =>
  plan.tolerances.find((one) => one.name === name);

/** A title with what a name such as `as-left.travel-limits` or `drift-limits@3` says besides: its part of the work, its bore. */
export function titleWithPlace({ name, title }: PlanTolerance): string {
  const bore = /@(\d+)$/.exec(name)?.[1];
  const part = name.includes('.') ? name.slice(0, name.lastIndexOf('.')).replace(/[-.]/g, ' ') : undefined;
  return [...(bore === undefined ? [] : [`Bore ${bore}`]), ...(part === undefined ? [] : [part]), title].join(
    ': ',
  );
}

/**
 * A verdict in one sentence: the word first, then what was found, how uncertain it is and from what it was derived, the
 * limits and how much there is to them. Probability and decision rule stand in it where it is not clear. `before` is the
 * fact that says so.
 */
export function writeVerdict(telling: Telling, of: string, verdict: WrittenVerdict, before?: number): string {
  const { plan } = telling;
  const word = verdict.verdict.toUpperCase();
  const tolerance = toleranceOf(plan, of);
  if (tolerance === undefined) return `${word}: ${subject(plan, of, verdict.value ?? '')}`;
  const assessment = assessmentOf(verdict);
  const known = `${verdict.value ?? 'not known'}${assessment === undefined ? '' : ` ± ${withFactor(assessment)}`}`;
  const derived = derivationOf(telling, tolerance, before);
  const found = derived === undefined ? known : `${derived.name} ${known} = ${derived.withValues}`;
  const value = `${titleWithPlace(tolerance)}: ${found}`;
  const limits = verdict.limits ? `limits ${verdict.limits}` : 'limits not known';
  const odd = writeStandsOut(plan, verdict.standsOut);
  switch (verdict.verdict) {
    case 'conforming':
      return `${word}: ${value}; ${limits}; ${spare(verdict)}${assessment?.doubtful === true ? writeDoubt(assessment) : ''}${odd}`;
    case 'nonconforming': {
      const side = verdict.side === undefined ? 'outside' : verdict.side === 'high' ? 'too high' : 'too low';
      return `${word}: ${value}; ${limits}; ${missedBy(verdict)}${side}${writeDoubt(assessment)}${odd}`;
    }
    case 'inconclusive':
      return `${word}: ${value}; ${limits}; ${reasons[verdict.because]}${writeDoubt(assessment)}${odd}`;
  }
}

const isNone = (distance: string | undefined): boolean =>
  distance === undefined || /^0(?:\.0+)?(?: |$|°)/.test(distance);

/** What is left to the nearer limit; beyond the scale it is at least so much. */
function spare({ margin, beyond }: WrittenVerdict & { readonly margin?: string }): string {
  if (beyond === undefined) return `${margin ?? '0'} to spare`;
  return isNone(margin) ? 'inside' : `at least ${margin ?? ''} to spare`;
}

/** By how much a limit is missed, in words before the side; beyond the scale it is at least so much. */
function missedBy({ excess, beyond }: WrittenVerdict & { readonly excess?: string }): string {
  if (beyond !== undefined && isNone(excess)) return '';
  return `${beyond === undefined ? '' : 'at least '}${excess ?? ''} `;
}

/** Why a verdict is open, in words. */
export const reasons = {
  'inside-guard-band': 'too near the limit to be decided',
  'instrument-too-coarse': 'the instrument is too coarse for these limits',
  'uncertainty-unknown': 'its uncertainty is not known',
  'beyond-scale': 'it lies beyond the scale',
} as const;

/** What is known of the uncertainty of a verdict; nothing of what was counted, which has none. */
export const assessmentOf = ({ assessment }: WrittenVerdict): WrittenAssessment | undefined =>
  assessment === undefined || /^0(?: strokes?)?$/.test(assessment.expandedUncertainty)
    ? undefined
    : assessment;

/** `0.0035 mm`; the coverage factor stands there where it is not 2. */
export const withFactor = ({ expandedUncertainty, coverageFactor }: WrittenAssessment): string =>
  `${expandedUncertainty}${coverageFactor === '2' ? '' : ` (k = ${coverageFactor})`}`;

/** How probable it is that the value lies inside, and by which rule that was decided where it is not the simple one. */
function writeDoubt(assessment: WrittenAssessment | undefined): string {
  if (assessment === undefined) return '';
  const { rule, acceptance, probability } = assessment;
  const accepted = acceptance === undefined ? '' : ` accepts ${writeAccepted(acceptance)}`;
  return `; ${likelyInside(probability)} likely to lie inside${rule === 'simple' ? '' : `; rule ${rule.replace('-', ' ')}${accepted}`}`;
}

/** What a rule accepts, in words that follow `accepts`. */
export const writeAccepted = (acceptance: string): string =>
  acceptance === 'nowhere' ? 'nothing' : acceptance;

/** Which bore, or which reading, stands out from the others beside a comparison. */
export function writeStandsOut(plan: Plan, name: string | undefined): string {
  if (name === undefined) return '';
  const bore = plan.entries[findEntry(plan, name) ?? -1]?.bore;
  return bore === undefined ? `; ${entryTitle(plan, name)} stands out` : `; bore ${bore} stands out`;
}

function subject(plan: Plan, of: string, value: string): string {
  const stock = plan.selections.find((one) => one.name === of)?.stock;
  if (stock !== undefined) return `${stock.title}: ${value}`;
  const entry = plan.entries[findEntry(plan, of) ?? -1];
  if (entry === undefined) return `${of} ${value}`;
  return entry.entry === 'observation'
    ? `${entryTitle(plan, of)} ${answerText(plan, of, value)}`
    : `${entryTitle(plan, of)}: ${value}`;
}
