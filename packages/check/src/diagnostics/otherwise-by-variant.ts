import { pointerTo } from '@ferrule/engine';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const otherwiseByVariant: DiagnosticKind = {
  code: 'otherwise-by-variant',
  severity: 'warning',
  says: 'Work is for every variant that is not named, and so for one that is added later too.',
  marks: 'key',
  examine: othersByVariant,
};

function* othersByVariant({ pack }: Subject): Generator<Finding> {
  for (const { node, pointer } of writtenNodes(pack)) {
    if ('choose' in node) {
      const isByVariant = node.cases.every((one) => 'variant' in one.when);
      if (isByVariant && (node.otherwise?.length ?? 0) > 0)
        yield {
          pointer: pointerTo(pointer, 'otherwise'),
          message: `This is done for every variant that no case of ${node.choose} names, one that is added later too.`,
          remedy: `Make a case of it: when: { variant: [${unnamed(Object.keys(pack.variants), node.cases)}] }.`,
        };
      for (const [number, { when }] of node.cases.entries())
        if ('logic' in when) yield* negated(when.logic, pointerTo(pointer, 'cases', number, 'when', 'logic'));
    }
    const condition = 'only-if' in node ? node['only-if'] : undefined;
    if (condition !== undefined && 'logic' in condition)
      yield* negated(condition.logic, pointerTo(pointer, 'only-if', 'logic'));
  }
}

function unnamed(variants: readonly string[], cases: readonly { readonly when: object }[]): string {
  const named = cases.flatMap(({ when }) =>
    'variant' in when && Array.isArray(when.variant) ? when.variant.map(String) : [],
  );
  return variants.filter((id) => !named.includes(id)).join(', ') || '…';
}

/** `!=` of a fact of the variant, or `!` around one: true for whatever variant comes later. */
function* negated(logic: unknown, pointer: string): Generator<Finding> {
  if (typeof logic !== 'object' || logic === null) return;
  for (const [key, inside] of Object.entries(logic)) {
    const at = pointerTo(pointer, key);
    const isNegated = key === '!=' || key === '!==' || key === '!';
    const fact = isNegated ? factIn(inside) : undefined;
    if (fact === undefined) yield* negated(inside, at);
    else
      yield {
        pointer: at,
        message: `This is true of every variant whose ${fact} is another, one that is added later too.`,
        remedy: 'Name the variants that it is for: { variant: [ … ] }.',
      };
  }
}

function factIn(value: unknown): string | undefined {
  if (typeof value !== 'object' || value === null) return undefined;
  if ('var' in value && typeof value.var === 'string' && value.var.startsWith('variant.'))
    return value.var.slice('variant.'.length);
  for (const inside of Object.values(value)) {
    const fact = factIn(inside);
    if (fact !== undefined) return fact;
  }
  return undefined;
}
