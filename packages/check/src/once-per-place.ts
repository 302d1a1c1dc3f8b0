import type { Finding } from './diagnostics/diagnostic-kind.ts';

/** A finding in one plan, with the variant that the plan is of. */
export interface FindingOfVariant extends Finding {
  readonly variant: string;
}

/** The first finding of each place, with the variants that have it too: what is written once is told once. */
export function* oncePerPlace(findings: Iterable<FindingOfVariant>): Generator<Finding> {
  const places = new Map<string, { readonly first: Finding; readonly variants: Set<string> }>();
  for (const { variant, ...finding } of findings) {
    const known = places.get(finding.pointer);
    if (known === undefined) places.set(finding.pointer, { first: finding, variants: new Set([variant]) });
    else known.variants.add(variant);
  }
  for (const { first, variants } of places.values())
    yield variants.size === 1
      ? first
      : { ...first, message: `${first.message} (${[...variants].join(', ')})` };
}
