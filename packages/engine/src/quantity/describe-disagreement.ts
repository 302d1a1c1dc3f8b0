import type { Agreement } from './dual.ts';
import { kindName } from './kind.ts';
import { type Quantity, writeQuantity } from './quantity.ts';

/** Says in a sentence why two statements of one value do not agree, and what the second should read. */
export function describeDisagreement(
  original: Quantity,
  second: Quantity,
  agreement: Extract<Agreement, { agreement: 'disagrees' }>,
): string {
  const [one, other] = [writeQuantity(original), writeQuantity(second)];
  const stated = `${one} and ${other} do not agree:`;
  if (agreement.reason === 'wrong-kind')
    return `${stated} the second is of another kind, ${kindName(agreement.found)} and not ${kindName(agreement.expected)}.`;
  const should = writeQuantity(agreement.shouldRead);
  switch (agreement.reason) {
    case 'off':
      return `${stated} ${one} is ${should}.`;
    case 'misplaced-decimal':
      return `${stated} the decimal point of the second is misplaced. It should read ${should}.`;
    case 'wrong-unit':
      return `${stated} the number is right with another unit. It should read ${should}.`;
    case 'as-temperature':
      return `${one} is a difference of temperatures, and ${other} is what a temperature converts to. It should read ${should}.`;
    case 'as-difference':
      return `${one} is a temperature, and ${other} is what a difference of temperatures converts to. It should read ${should}.`;
    case 'converted-first':
      return `${stated} the converted value stands first. It should read ${other} (${one}), with the original first.`;
  }
}
