import { type Entry, type Pack, type Plan, pointerTo } from '@ferrule/engine';
import { nameOf, operationsIn, writtenExpressions } from '../written-expressions.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const swappedChange: DiagnosticKind = {
  code: 'swapped-change',
  severity: 'error',
  says: 'A change is reckoned from what is read later to what is read before it.',
  marks: 'value',
  examine: swappedChanges,
};

function* swappedChanges({ pack, plans }: Subject): Generator<Finding> {
  for (const { expression, pointer, procedure, derived } of writtenExpressions(pack)) {
    const title =
      (derived === undefined ? undefined : pack.procedures[procedure]?.derived?.[derived]?.title) ?? '';
    for (const { operator, operands, pointer: at } of operationsIn(expression, pointer)) {
      if (typeof operands !== 'object' || operands === null) continue;
      let names: readonly [from: string | undefined, to: string | undefined] | undefined;
      if (operator === 'change' && 'from' in operands && 'to' in operands)
        names = [nameOf(operands.from), nameOf(operands.to)];
      // A difference says which is which only in words: the one after less the one before.
      else if ((operator === 'difference' || operator === '-') && Array.isArray(operands) && isChange(title))
        names = [nameOf(operands[1]), nameOf(operands[0])];
      const [from, to] = names ?? [];
      if (from === undefined || to === undefined || !isAlwaysLater(from, to, procedure, pack, plans))
        continue;
      const [readLater, readBefore] =
        operator === 'change' ? ['from', 'to'] : ['what is taken away', 'the other'];
      yield {
        pointer: at,
        message: `${from} (${readLater}) is always read after ${to} (${readBefore}), so the change has the wrong sign.`,
        remedy:
          operator === 'change'
            ? `Did you mean { from: ${to}, to: ${from} }?`
            : `Did you mean [${from}, ${to}]?`,
      };
    }
  }
}

/** `after … less … before`, word by word: one expression for all three would try each with each. */
function isChange(title: string): boolean {
  const words: readonly string[] = title.toLowerCase().match(/\p{L}+/gu) ?? [];
  const after = words.indexOf('after');
  const less = words.findIndex((word, at) => at > after && (word === 'less' || word === 'minus'));
  return after >= 0 && less >= 0 && words.indexOf('before', less) >= 0;
}

/** Whether one value is read after the other in every plan that has both, at each bore. */
function isAlwaysLater(
  one: string,
  other: string,
  procedure: string,
  pack: Pack,
  plans: readonly Plan[],
): boolean {
  let found = 0;
  for (const { entries } of plans) {
    const later = entriesOf(one, procedure, pack, entries, 0);
    const earlier = entriesOf(other, procedure, pack, entries, 0);
    for (const left of later) {
      for (const right of earlier) {
        if (left.bore !== undefined && right.bore !== undefined && left.bore !== right.bore) continue;
        if (left.takers.length === 0 || right.takers.length === 0) continue;
        found += 1;
        if (Math.min(...left.takers) <= Math.max(...right.takers)) return false;
      }
    }
  }
  return found > 0;
}

/** The readings that a name of a procedure stands for, in a plan: its own, or those that it is calculated from. */
function entriesOf(
  name: string,
  procedure: string,
  pack: Pack,
  entries: readonly Entry[],
  depth: number,
  prefix = '',
): readonly Entry[] {
  const document = pack.procedures[procedure];
  if (document === undefined || depth > 8) return [];
  const [path = '', bore] = name.split('@');
  const [as = '', inner] = path.split('.');
  if (inner !== undefined) {
    const performed = performedAs(document.steps, as);
    return performed === undefined
      ? []
      : entriesOf(inner, performed, pack, entries, depth + 1, `${prefix}${as}.`);
  }
  const derived = Object.hasOwn(document.derived ?? {}, path) ? document.derived?.[path] : undefined;
  if (derived !== undefined) {
    return namesIn(derived.is).flatMap((one) => entriesOf(one, procedure, pack, entries, depth + 1, prefix));
  }
  const pointer = pointerTo('/procedures', procedure, 'readings', path);
  return entries.filter(
    (one) =>
      one.pointer === pointer &&
      (prefix === '' || one.name.includes(`${prefix}${path}`)) &&
      (bore === undefined || one.name.endsWith(`@${bore}`)),
  );
}

function namesIn(expression: unknown): readonly string[] {
  if (typeof expression === 'string') return /^[a-z]/.test(expression) ? [expression] : [];
  if (typeof expression !== 'object' || expression === null) return [];
  return Object.values(expression).flatMap(namesIn);
}

function performedAs(nodes: unknown, as: string): string | undefined {
  if (typeof nodes !== 'object' || nodes === null) return undefined;
  if (
    'perform' in nodes &&
    typeof nodes.perform === 'string' &&
    ('as' in nodes ? nodes.as : nodes.perform) === as
  )
    return nodes.perform;
  for (const inside of Object.values(nodes)) {
    const found = performedAs(inside, as);
    if (found !== undefined) return found;
  }
  return undefined;
}
