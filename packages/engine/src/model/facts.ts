import type { Pack } from './generated/document.ts';
import { pointerTo } from './pointer.ts';
import type { Report } from './report.ts';
import type { ResolvedVariant } from './resolve-variant.ts';
import type { Stated } from './stated.ts';

const PREFIX = 'variant.';

/** The name of the fact that a text names: `variant.travel-low` names `travel-low`. */
export const factNamed = (text: string): string | undefined =>
  text.startsWith(PREFIX) ? text.slice(PREFIX.length) : undefined;

/** Marks a fact of a variant as used. */
export function useFact(name: string, variant: ResolvedVariant, report: Report): void {
  if (variant.facts.has(name)) report.use(pointerTo(variant.pointer, 'facts'), name);
}

/** A fact that this variant does not have, reported where it is named; once, where no variant of the pack has it. */
export function unknownFact(
  name: string,
  variant: ResolvedVariant,
  pack: Pack,
  pointer: string,
  report: Report,
): void {
  const others = Object.values(pack.variants).flatMap((one) => Object.keys(one.facts ?? {}));
  if (!others.includes(name)) {
    return report.unknown('fact', name, new Set(others), pointer, { of: 'any variant' });
  }
  const place = { pointer: pointerTo(variant.pointer, 'facts'), message: `the facts of ${variant.id}` };
  report.unknown('fact', name, variant.facts.keys(), pointer, { of: variant.id, other: [place] });
}

/** What a text states: itself, or the fact of the variant that it names; undefined with a diagnostic if there is none. */
export function stated(
  text: string,
  variant: ResolvedVariant,
  pack: Pack,
  pointer: string,
  report: Report,
): Stated | undefined {
  const name = factNamed(text);
  if (name === undefined) return { text, pointer };
  const value = variant.facts.get(name);
  if (value === undefined) {
    unknownFact(name, variant, pack, pointer, report);
    return undefined;
  }
  useFact(name, variant, report);
  const others = Object.entries(pack.variants).flatMap(([id, { facts = {} }]) =>
    id === variant.id ? [] : (facts[name] ?? []),
  );
  const fact = { name, of: variant.id, usedAt: pointer, others };
  return { text: value, pointer: pointerTo(variant.pointer, 'facts', name), fact };
}
