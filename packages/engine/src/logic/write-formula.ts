import { writeQuantity } from '../quantity/index.ts';
import type { Operation, TypedAmount } from './typed.ts';

/** Signs between operands. */
const signs: Readonly<Partial<Record<Operation, string>>> = {
  plus: '+',
  minus: '−',
  times: '×',
  over: '÷',
  around: 'around a circle of',
};
/** Words before a list of them. */
const words: Readonly<Partial<Record<Operation, string>>> = {
  lowest: 'the lowest of',
  highest: 'the highest of',
  spread: 'the highest less the lowest of',
  mean: 'the mean of',
};

/** The name of a reading or a value in words: `as-left.depth-shut@3` is as left depth shut, its place left aside. */
export const inWords = (name: string): string => name.replace(/(?:@[\w-]+)+$/, '').replace(/[-.]/g, ' ');

/** How an amount is worked out, in words and signs; `name` says how a reading is called. */
export function writeFormula(
  value: TypedAmount,
  name: (name: string) => string = inWords,
  isInside = false,
): string {
  switch (value.node) {
    case 'name':
      return name(value.name);
    case 'literal':
      return writeQuantity(value.amount);
    case 'if':
      return `${writeFormula(value.then, name, true)} or ${writeFormula(value.otherwise, name, true)}`;
    case 'calculation': {
      const operands = value.operands.map((one) => writeFormula(one, name, true));
      if (value.operation === 'negated') return `−(${operands[0] ?? ''})`;
      if (value.operation === 'table') return `the table ${value.table.title} at ${operands[0] ?? ''}`;
      const sign = signs[value.operation];
      if (sign === undefined) return `${words[value.operation] ?? value.operation} ${operands.join(', ')}`;
      const all = operands.join(` ${sign} `);
      return isInside ? `(${all})` : all;
    }
  }
}
