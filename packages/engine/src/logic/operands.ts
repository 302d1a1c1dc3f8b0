import { type Place, quoted } from './draft.ts';
import type { ExpressionFaults } from './expression-faults.ts';
import { isOperator, type NamedForm, REFUSED } from './operators.ts';

/** The operands of an operator that takes a list of them, or one alone; none, with a fault, where the number is wrong. */
export function counted(
  faults: ExpressionFaults,
  { json, at }: Place,
  least: number,
  most = Number.POSITIVE_INFINITY,
  form?: NamedForm,
): readonly Place[] {
  const places = Array.isArray(json)
    ? json.map((member: unknown, i) => ({ json: member, at: `${at}/${i}` }))
    : [{ json, at }];
  if (places.length >= least && places.length <= most) return places;
  const expected =
    most === least ? `${least}` : most < least + 2 ? `${least} or ${most}` : `at least ${least}`;
  const found = `${places.length} operand${places.length === 1 ? '' : 's'}`;
  if (form === undefined) faults.add('wrong-count', at, found, expected);
  else faults.add('wrong-count', at, `in ${form} ${found}`, expected, { form });
  return [];
}

/** The operands of an operator that takes them under these keys; none, with a fault, where the keys are others. */
export function keyed(
  faults: ExpressionFaults,
  { json, at }: Place,
  form: NamedForm,
  ...keys: readonly string[]
): readonly Place[] {
  const values: ReadonlyMap<string, unknown> = new Map(
    typeof json === 'object' && json !== null && !Array.isArray(json) ? Object.entries(json) : [],
  );
  if (values.size !== keys.length || !keys.every((key) => values.has(key))) {
    faults.add(
      'wrong-shape',
      at,
      `in ${form} ${keysOf(json)}`,
      `the keys ${keys.map(quoted).join(' and ')}`,
      { form },
    );
    return [];
  }
  return keys.map((key) => ({ json: values.get(key), at: `${at}/${key}` }));
}

/** Whether this is a map whose keys no operator is among: operands given by keys that do not fit. */
export const hasNoOperator = (json: unknown): boolean =>
  isMap(json) && !Object.keys(json).some((key) => isOperator(key) || REFUSED.has(key));

/** What stands where operands were expected, for a fault. */
export function keysOf(json: unknown): string {
  if (Array.isArray(json)) return 'a list';
  const keys = isMap(json) ? Object.keys(json) : [];
  return keys.length === 0 ? 'no keys' : `the keys ${keys.slice(0, 5).map(quoted).join(', ')}`;
}

const isMap = (json: unknown): json is object =>
  typeof json === 'object' && json !== null && !Array.isArray(json);
