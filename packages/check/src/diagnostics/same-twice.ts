import { type Procedure, pointerTo } from '@ferrule/engine';
import { nameOf, operationsIn, writtenExpressions } from '../written-expressions.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameTwice: DiagnosticKind = {
  code: 'same-twice',
  severity: 'error',
  says: 'A value is compared with itself, or stands twice where values are compared.',
  marks: 'value',
  examine: valuesComparedWithThemselves,
};

const pairs: ReadonlySet<string> = new Set([
  '==',
  '===',
  '!=',
  '!==',
  '<',
  '<=',
  '>',
  '>=',
  '-',
  '/',
  'difference',
  'change',
  'share',
]);
const lists: ReadonlySet<string> = new Set([
  'spread',
  'lowest',
  'highest',
  'mean',
  'min',
  'max',
  'and',
  'or',
]);

function* valuesComparedWithThemselves({ pack }: Subject): Generator<Finding> {
  for (const { expression, pointer, procedure } of writtenExpressions(pack)) {
    const document = pack.procedures[procedure];
    for (const { operator, operands, pointer: at } of operationsIn(expression, pointer)) {
      const isPair = pairs.has(operator);
      if (!isPair && !lists.has(operator)) continue;
      const items = placed(operands, at);
      const known = new Map<string, string>();
      for (const { item, at: where } of items) {
        const key = canonical(item, document, 0);
        const before = known.get(key);
        known.set(key, where);
        if (before === undefined) continue;
        yield {
          pointer: where,
          message: isPair
            ? `${operator} has ${said(item)} on both sides, so it always comes out the same.`
            : `${operator} has ${said(item)} twice.`,
          remedy: 'Name the other value that is meant.',
          other: [{ pointer: before, message: 'the same value' }],
        };
      }
      const [only] = items;
      if (operator === 'spread' && items.length === 1 && only !== undefined && isOne(only.item)) {
        yield {
          pointer: only.at,
          message: `The spread of ${said(only.item)} alone is always nothing.`,
          remedy: `Name all the values, or write { every-bore: … } for those of all bores.`,
        };
      }
    }
  }
}

interface Placed {
  readonly item: unknown;
  readonly at: string;
}

function placed(operands: unknown, pointer: string): readonly Placed[] {
  if (typeof operands !== 'object' || operands === null) return [{ item: operands, at: pointer }];
  if (Array.isArray(operands))
    return operands.map((item: unknown, index) => ({ item, at: pointerTo(pointer, index) }));
  const entries = Object.entries(operands);
  // `change: {from: …, to: …}` names its operands; anything else in braces is one operation.
  if (entries.length < 2) return [{ item: operands, at: pointer }];
  return entries.map(([key, item]) => ({ item, at: pointerTo(pointer, key) }));
}

const isOne = (item: unknown): boolean => {
  const name = nameOf(item);
  return name !== undefined && !name.startsWith('variant.');
};

const said = (item: unknown): string => nameOf(item) ?? 'the same value';

/** One text for what means the same: a name alone or as a variable, and a derived value as what it is calculated from. */
function canonical(item: unknown, document: Procedure | undefined, depth: number): string {
  const name = nameOf(item);
  if (name !== undefined) {
    const derived = document?.derived ?? {};
    const own = Object.hasOwn(derived, name) ? derived[name] : undefined;
    return own !== undefined && own.per === undefined && depth < 8
      ? canonical(own.is, document, depth + 1)
      : JSON.stringify(name);
  }
  if (typeof item !== 'object' || item === null) return JSON.stringify(item);
  if (Array.isArray(item)) return `[${item.map((one) => canonical(one, document, depth + 1)).join()}]`;
  return `{${Object.entries(item)
    .map(([key, value]) => `${key}:${depth < 40 ? canonical(value, document, depth + 1) : ''}`)
    .join()}}`;
}
