import { type Procedure, pointerTo, type written } from '@ferrule/engine';
import { nameOf, operationsIn, writtenExpressions } from '../written-expressions.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const correctedTwice: DiagnosticKind = {
  code: 'corrected-twice',
  severity: 'error',
  says: 'One value corrects both what was read and the limit that it is held against.',
  marks: 'value',
  examine: valuesOnBothSides,
};

function* valuesOnBothSides({ pack }: Subject): Generator<Finding> {
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    for (const [id, tolerance] of Object.entries(procedure.tolerances ?? {})) {
      const where = pointerTo('/procedures', name, 'tolerances', id);
      const of = tolerance.of.split('@')[0] ?? '';
      const own = procedure.derived ?? {};
      if (!Object.hasOwn(own, of)) continue;
      const terms = new Set(summands({ var: of }, procedure, 0));
      for (const [key, limit] of limitsOf(tolerance)) {
        if (!limit.startsWith('variant.') || !terms.has(limit)) continue;
        yield {
          pointer: where + key,
          message: `${limit} is a limit here, and ${of}, which is held against it, is corrected by it already.`,
          remedy: `Take it out of one of the two: judge what was read by ${limit}, or ${of} by what is left of it.`,
          other: [
            {
              pointer: pointerTo('/procedures', name, 'derived', of, 'is'),
              message: `${of} is calculated with it`,
            },
          ],
        };
      }
    }
  }
  for (const { expression, pointer, procedure } of writtenExpressions(pack)) {
    const document = pack.procedures[procedure];
    for (const { operator, operands, pointer: at } of operationsIn(expression, pointer)) {
      if (!['<', '<=', '>', '>=', '==', '!='].includes(operator) || !Array.isArray(operands)) continue;
      const [left, ...others] = operands.map((one: unknown) => summands(one, document, 0));
      // What stands alone on both sides is compared with itself, which is another fault.
      for (const other of others) {
        const both = left?.find((term) => other.includes(term));
        if (both === undefined || (left?.length === 1 && other.length === 1)) continue;
        yield {
          pointer: at,
          message: `${both} is added or taken away on both sides of ${operator}.`,
          remedy: 'Correct one side by it, and leave the other as it was read or stated.',
        };
      }
    }
  }
}

const limitsOf = (one: written.Tolerance): readonly (readonly [key: string, text: string])[] => [
  ...(['nominal', 'at-least', 'at-most'] as const).flatMap((key) => {
    const text = one[key];
    return typeof text === 'string' ? [[`/${key}`, text] as const] : [];
  }),
  ...(one.between ?? []).flatMap((text, index) =>
    typeof text === 'string' ? [[`/between/${index}`, text] as const] : [],
  ),
];

/** The names that are added and taken away in an amount, as they are; derived values are gone into. */
function summands(item: unknown, document: Procedure | undefined, depth: number): readonly string[] {
  if (depth > 12) return [];
  const name = nameOf(item);
  if (name !== undefined) {
    const derived = document?.derived ?? {};
    const id = name.split('@')[0] ?? '';
    const own = Object.hasOwn(derived, id) ? derived[id] : undefined;
    return own === undefined ? (/^[a-z]/.test(name) ? [name] : []) : summands(own.is, document, depth + 1);
  }
  if (typeof item !== 'object' || item === null || Array.isArray(item)) return [];
  return Object.entries(item).flatMap(([operator, operands]): readonly string[] => {
    if (!['+', '-', 'difference', 'change'].includes(operator)) return [];
    const all: readonly unknown[] =
      typeof operands === 'object' && operands !== null ? Object.values(operands) : [operands];
    return all.flatMap((one) => summands(one, document, depth + 1));
  });
}
