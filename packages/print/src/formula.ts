import { type PlanTolerance, type TypedAmount, writeQuantity } from '@ferrule/engine';

/** How the value of a tolerance is worked out from readings, in words; undefined where the reading itself is judged. */
export function formulaOf(tolerance: PlanTolerance): string | undefined {
  if (tolerance.value.node === 'name') return undefined;
  const bore = /@(\d+)$/.exec(tolerance.name)?.[1];
  return write(tolerance.value, (name) => {
    const other = /@(\d+)$/.exec(name)?.[1];
    const words = inWords(name);
    return other === undefined || other === bore ? words : `${words} of bore ${other}`;
  });
}

/** The name of a reading or a value in words: `as-left.depth-shut` is as left depth shut, a bore left aside. */
export const inWords = (name: string): string => name.replace(/(?:@[\w-]+)+$/, '').replace(/[-.]/g, ' ');

type Operation = Extract<TypedAmount, { node: 'calculation' }>['operation'];

/** Signs between operands. */
const signs: Readonly<Partial<Record<Operation, string>>> = { plus: '+', minus: '−', times: '×', over: '÷' };
/** Words before a list of them. */
const words: Readonly<Partial<Record<Operation, string>>> = {
  lowest: 'the lowest of',
  highest: 'the highest of',
  spread: 'the highest less the lowest of',
  mean: 'the mean of',
};

function write(value: TypedAmount, name: (name: string) => string, isInside = false): string {
  switch (value.node) {
    case 'name':
      return name(value.name);
    case 'literal':
      return writeQuantity(value.amount);
    case 'if':
      return `${write(value.then, name, true)} or ${write(value.otherwise, name, true)}`;
    case 'calculation': {
      const operands = value.operands.map((one) => write(one, name, true));
      if (value.operation === 'negated') return `−(${operands[0] ?? ''})`;
      const sign = signs[value.operation];
      if (sign === undefined) return `${words[value.operation] ?? value.operation} ${operands.join(', ')}`;
      const all = operands.join(` ${sign} `);
      return isInside ? `(${all})` : all;
    }
  }
}
