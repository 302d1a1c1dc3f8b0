import { factNamed, useFact } from './facts.ts';
import type { Frame } from './frame.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';

/** Fills the place-holders of a text: `{bore}`, `{stop.held-by}`, `{variant.title}`, `{variant.<fact>}`. */
export function fill(
  text: string,
  frame: Frame,
  variant: ResolvedVariant,
  pointer: string,
  report: Report,
): string {
  if (!text.includes('{')) return text;
  return text.replace(/\{([^{}]*)\}/g, (whole, name: string) => {
    const value = boundTo(name, frame, variant, report);
    if (value !== undefined) return value;
    report.unknownPlaceHolder(name, knownIn(frame, variant), pointer);
    return whole;
  });
}

/** What texts and values can name at a place: what is bound there, and the facts of the variant. */
export const knownIn = (frame: Frame, variant: ResolvedVariant): readonly string[] => [
  ...frame.bindings.keys(),
  'variant.title',
  ...[...variant.facts.keys()].map((key) => `variant.${key}`),
];

/** What a bound name, or a fact of the variant, stands for. */
export function boundTo(
  name: string,
  frame: Frame,
  variant: ResolvedVariant,
  report: Report,
): string | undefined {
  const value = frame.bindings.get(name);
  if (value !== undefined) return value;
  if (name === 'variant.title') return variant.title;
  const fact = factNamed(name);
  if (fact === undefined) return undefined;
  useFact(fact, variant, report);
  return variant.facts.get(fact);
}
