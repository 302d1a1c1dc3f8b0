import type { ExpressionFault } from './fault.ts';

/** How deep operators may nest, and how many JSON values an expression may hold: bounds on work, our own. */
const DEEPEST = 32;
export const LARGEST = 2000;

/**
 * The bound that an expression breaks, if any. Walks without recursion, so that no input (deep, endless, or containing
 * itself) can exhaust the stack, and stops at the first bound.
 */
export function outOfBounds(json: unknown): ExpressionFault | undefined {
  const waiting: { json: unknown; at: string; depth: number }[] = [{ json, at: '', depth: 0 }];
  let seen = 0;
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    const { json, at, depth } = next;
    seen += 1;
    if (typeof json !== 'object' || json === null) continue;
    const isList = Array.isArray(json);
    if (!isList && depth === DEEPEST) {
      return {
        code: 'too-deep',
        at,
        found: `more than ${DEEPEST} operators inside one another`,
        expected: `at most ${DEEPEST}; give a part a name as a derived value`,
      };
    }
    const size = isList ? json.length : Object.keys(json).length;
    if (seen + waiting.length + size > LARGEST) {
      return {
        code: 'too-large',
        at: '',
        found: `an expression of more than ${LARGEST} parts`,
        expected: `at most ${LARGEST}; give a part a name as a derived value`,
      };
    }
    for (const [key, value] of Object.entries(json)) {
      waiting.push({ json: value, at: `${at}/${escaped(key)}`, depth: isList ? depth : depth + 1 });
    }
  }
  return undefined;
}

/** A key as a part of an RFC 6901 pointer. */
export const escaped = (key: string): string => key.replaceAll('~', '~0').replaceAll('/', '~1');
