import type { Plan, PlanHazard } from '@ferrule/engine';
import { type Markup, markup } from '../markup.ts';

const severity = ['danger', 'warning', 'caution', 'notice'] as const;

/** Hazards by their ids, the worst first. */
export function hazardsOf(plan: Plan, ids: readonly string[]): readonly PlanHazard[] {
  return [...new Set(ids)]
    .flatMap((id) => plan.hazards.find((one) => one.id === id) ?? [])
    .sort((a, b) => severity.indexOf(a.signal) - severity.indexOf(b.signal));
}

/** A sign of our own for each signal word: a raised hand's shape is left to others, ours is a stop bar, filled as it is worse. */
const signs: Readonly<Record<PlanHazard['signal'], Markup>> = {
  danger: markup`<path d="M10 0l10 10-10 10L0 10z" fill="#000"/><path d="M4 8.2h12v3.6H4z" fill="#fff"/>`,
  warning: markup`<path d="M10 1.2l8.8 8.8-8.8 8.8L1.2 10z" fill="#fff" stroke="#000" stroke-width="2"/><path d="M4.6 8h10.8v4H4.6z" fill="#000"/>`,
  caution: markup`<path d="M10 1.2l8.8 8.8-8.8 8.8L1.2 10z" fill="#fff" stroke="#000" stroke-width="2"/><path d="M6 9.2h8v1.6H6z" fill="#000"/>`,
  notice: markup`<circle cx="10" cy="10" r="8.8" fill="#fff" stroke="#000" stroke-width="2"/><path d="M9 8.4h2v6H9zM9 5h2v2H9z" fill="#000"/>`,
};

const sign = (signal: PlanHazard['signal']): Markup =>
  markup`<svg class="sign" viewBox="0 0 20 20" width="20" height="20" aria-hidden="true">${signs[signal]}</svg>`;

/** One hazard in full: the sign, the signal word as a word, and what it says. */
export const hazard = ({ signal, text }: PlanHazard): Markup =>
  markup`<p class="hazard ${signal}">${sign(signal)}<strong>${signal.toUpperCase()}</strong> ${text}</p>`;

/** Hazards that were said in full shortly before, each by its first sentence. */
export const hazardsAgain = (hazards: readonly PlanHazard[]): Markup | undefined =>
  hazards.length === 0
    ? undefined
    : markup`<p class="hazard-again">${hazards.map(
        ({ signal, text }) =>
          markup`<span>${sign(signal)}<strong>${signal.toUpperCase()}</strong> ${firstSentence(text)}</span> `,
      )}</p>`;

export const firstSentence = (text: string): string => /^.*?[.!?](?=\s|$)/.exec(text)?.[0] ?? text;
