import { type Place, quoted } from './draft.ts';
import type { ExpressionFaults } from './expression-faults.ts';
import { nearest } from './nearest.ts';
import { ALLOWED, isOperator, NAMING, type Operator, REFUSED } from './operators.ts';
import { escaped } from './out-of-bounds.ts';

/** The one key of an object, when it is an operator, and what stands under it; undefined, with a fault, for any other object. */
export function readOperator(
  json: object,
  at: string,
  faults: ExpressionFaults,
): { readonly operator: Operator; readonly value: Place } | undefined {
  const entries: readonly (readonly [string, unknown])[] = Object.entries(json);
  const [only] = entries;
  if (only === undefined || entries.length > 1) {
    const keys = entries.map(([key]) => quoted(key)).slice(0, 5);
    const found =
      only === undefined ? 'an object without a key' : `an object with the keys ${keys.join(', ')}`;
    return faults.add('not-one-key', at, found, 'an object with one key, the operator');
  }
  const [key, value] = only;
  if (isOperator(key)) return { operator: key, value: { json: value, at: `${at}/${escaped(key)}` } };
  const found = `the operator ${quoted(key)}`;
  const instead = REFUSED.get(key);
  if (instead !== undefined) return faults.add('refused-operator', at, found, instead);
  return faults.add('unknown-operator', at, found, 'an operator', nearest(key, [...ALLOWED, ...NAMING]));
}
