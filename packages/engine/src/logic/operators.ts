/** Operators and named forms that a pack may use. */
export const ALLOWED = [
  'var',
  'and',
  'or',
  '!',
  'if',
  '==',
  '!=',
  '<',
  '<=',
  '>',
  '>=',
  '+',
  '-',
  '*',
  '/',
  'min',
  'max',
  'in',
  'difference',
  'change',
  'spread',
  'share',
  'lowest',
  'highest',
  'mean',
  'around',
  'table',
] as const;
/** Forms that are names by the time an expression is typed: a pack may write them where a name may stand. */
export const NAMING = ['elapsed'] as const;

export type Operator = (typeof ALLOWED)[number];

/** The named forms, as each is written. */
export const NAMED_FORMS = {
  difference: 'difference: [a, b]',
  change: 'change: { from: a, to: b }',
  spread: 'spread: [a, b, c]',
  share: 'share: { of: a, in: b }',
  lowest: 'lowest: [a, b, c]',
  highest: 'highest: [a, b, c]',
  mean: 'mean: [a, b, c]',
  around: 'around: { of: a, circle: 360° }',
  table: 'table: { of: table-a, at: b }',
} as const;
export type NamedForm = keyof typeof NAMED_FORMS;

const UNROLLED =
  'a list written out under and, or, lowest, highest; over bores, a quantifier unrolls by itself';
const NO_LISTS = 'each value written out; lists are not worked on inside an expression';
const NO_TEXT = 'the text itself; texts are compared, never built or cut';
const PRESENCE = 'nothing: a value that is not recorded blocks by itself';

/** Operators of JSON Logic that a pack may not use, and what to write instead. */
export const REFUSED: ReadonlyMap<string, string> = new Map([
  ['===', '== (types are already strict)'],
  ['!==', '!= (types are already strict)'],
  ['!!', 'the truth itself, or a comparison'],
  ['?:', 'if'],
  ['%', 'a comparison of amounts; a remainder has no unit'],
  ['missing', PRESENCE],
  ['missing_some', PRESENCE],
  ['all', UNROLLED],
  ['some', UNROLLED],
  ['none', UNROLLED],
  ['map', NO_LISTS],
  ['filter', NO_LISTS],
  ['reduce', 'lowest, highest, mean, spread or +'],
  ['merge', NO_LISTS],
  ['cat', NO_TEXT],
  ['substr', NO_TEXT],
  ['log', 'nothing: an expression has no side effects'],
  ['method', 'an operator; an expression calls nothing'],
]);

const operators: ReadonlySet<string> = new Set(ALLOWED);

export function isOperator(key: string): key is Operator {
  return operators.has(key);
}
