import { findEntry, type Plan, type PlanTolerance, type WrittenVerdict } from '@ferrule/engine';
import { derivationOf } from './derivation.ts';
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
 * A verdict in one sentence: the word first, then what was found and from what it was derived, the limits and how much
 * there is to them. `before` is the fact that says so.
 */
export function writeVerdict(telling: Telling, of: string, verdict: WrittenVerdict, before?: number): string {
  const { plan } = telling;
  const word = verdict.verdict.toUpperCase();
  const tolerance = toleranceOf(plan, of);
  if (tolerance === undefined) return `${word}: ${subject(plan, of, verdict.value ?? '')}`;
  const derived = derivationOf(telling, tolerance, before);
  const found =
    derived === undefined
      ? (verdict.value ?? '')
      : `${derived.name} ${verdict.value ?? ''} = ${derived.withValues}`;
  const value = `${titleWithPlace(tolerance)}: ${found}`;
  const limits = `limits ${verdict.limits ?? ''}`;
  switch (verdict.verdict) {
    case 'conforming':
      return `${word}: ${value}; ${limits}; ${verdict.margin ?? '0'} to spare`;
    case 'nonconforming': {
      const side = verdict.side === undefined ? 'outside' : verdict.side === 'high' ? 'too high' : 'too low';
      return `${word}: ${value}; ${limits}; ${verdict.excess ?? ''} ${side}`;
    }
    case 'inconclusive':
      return `${word}: ${value}; ${limits}; ${verdict.because.replaceAll('-', ' ')}`;
  }
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
