import { isList, isMapping, isText, type Mapping, mappingOf, textsOf } from './json.ts';

/** What stands between two operands, by operator of JSON Logic, as people write it. */
const between: Readonly<Record<string, string>> = {
  '+': '+',
  '-': '−',
  '*': '×',
  '/': '/',
  '==': '=',
  '===': '=',
  '!=': '≠',
  '!==': '≠',
  '<': '<',
  '<=': '≤',
  '>': '>',
  '>=': '≥',
  and: 'and',
  or: 'or',
  in: 'is one of',
};

/**
 * A condition or a calculation as it is written in a pack, as a line to read: `drift × 2 > 0.1 mm`, `rocker assembly: off`.
 * What it cannot put into words it writes as `name of (…)`, so that nothing is left out.
 */
export function writeExpression(value: unknown): string {
  if (isText(value)) return value;
  if (isList(value)) return value.map(writeExpression).join(', ');
  if (!isMapping(value)) return String(value);
  const entries = Object.entries(value);
  const [only] = entries;
  if (entries.length !== 1 || only === undefined) return written(value);
  const [operator, operand] = only;
  const operands = isList(operand) ? operand : [operand];
  const sign = between[operator];
  if (sign !== undefined && operands.length > 1) return operands.map(inBrackets).join(` ${sign} `);
  if (operator === '-') return `−${inBrackets(operand)}`;
  if (isLimit.test(operator)) return written(value);
  if (operator === 'var') return textsOf(operand)[0] ?? '';
  if (operator === '!' || operator === 'not') return `not (${writeExpression(operand)})`;
  if (operator === 'state') return written(mappingOf(operand));
  if (operator === 'variant') return `the engine is ${textsOf(operand).join(' or ')}`;
  if (operator === 'if' && operands.length === 3)
    return `where ${writeExpression(operands[0])}: ${writeExpression(operands[1])}; else: ${writeExpression(operands[2])}`;
  if (isMapping(operand) || isList(operand)) return `${operator} of (${writeExpression(operand)})`;
  return `${operator}: ${String(operand)}`;
}

const isLimit = /^(?:at-least|at-most|between|nominal)$/;

/** By name, since the order of keys says nothing, and a bundle has another than a file. */
const written = (value: Mapping): string =>
  Object.entries(value)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(
      ([key, one]) => `${key}: ${isList(one) ? one.map(writeExpression).join(' or ') : writeExpression(one)}`,
    )
    .join('; ');

const inBrackets = (value: unknown): string =>
  isMapping(value) && Object.keys(value).some((key) => between[key] !== undefined)
    ? `(${writeExpression(value)})`
    : writeExpression(value);
