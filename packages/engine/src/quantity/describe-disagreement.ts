import { type Agreement, judgeDual } from './dual.ts';
import { kindName } from './kind.ts';
import { convert, type Quantity, valueIn, writeQuantity } from './quantity.ts';

type Disagreement = Extract<Agreement, { agreement: 'disagrees' }>;

/** Says in a sentence why two statements of one value do not agree, and what the second should read. */
export function describeDisagreement(original: Quantity, second: Quantity, agreement: Disagreement): string {
  const [one, other] = [writeQuantity(original), writeQuantity(second)];
  const stated = `${one} and ${other} do not agree:`;
  if (agreement.reason === 'wrong-kind')
    return `${stated} the second is of another kind, ${kindName(agreement.found)} and not ${kindName(agreement.expected)}.`;
  const should = writeQuantity(shouldRead(original, second, agreement));
  switch (agreement.reason) {
    case 'off':
      return areExchanged(original, second)
        ? `${stated} the two numbers have changed places.`
        : `${stated} ${one} is ${should}.`;
    case 'misplaced-decimal':
      return `${stated} the decimal point of the second is misplaced. It should read ${should}.`;
    case 'wrong-unit':
      return isRepeated(original, second)
        ? `${stated} the number of the first is repeated, and ${one} is ${should}.`
        : `${stated} the number is right with another unit. It should read ${should}.`;
    case 'as-temperature':
      return `${one} is a difference of temperatures, and ${other} is what a temperature converts to. It should read ${should}.`;
    case 'as-difference':
      return `${one} is a temperature, and ${other} is what a difference of temperatures converts to. It should read ${should}.`;
    case 'converted-first':
      return `${stated} the converted value stands first. It should read ${other} (${one}), with the original first.`;
  }
}

/** What to write in place of two statements that do not agree. The first may be the one that is wrong. */
export function agreementRemedy(original: Quantity, second: Quantity, agreement: Disagreement): string {
  const [one, other] = [writeQuantity(original), writeQuantity(second)];
  switch (agreement.reason) {
    case 'wrong-kind':
      return `Put into the brackets what ${one} is in another unit of the same kind, or leave them out.`;
    case 'converted-first':
      return `Write ${other} (${one}).`;
    default: {
      if (agreement.reason === 'off' && areExchanged(original, second))
        return `Write ${second.digits} ${original.unit.symbol} (${original.digits} ${second.unit.symbol}).`;
      const should = writeQuantity(shouldRead(original, second, agreement));
      return `Write ${one} (${should}); if ${other} is what is meant, correct the first.`;
    }
  }
}

function shouldRead(
  original: Quantity,
  second: Quantity,
  agreement: Exclude<Disagreement, { reason: 'wrong-kind' }>,
): Quantity {
  const { reason, shouldRead } = agreement;
  if (reason === 'wrong-unit' && second.kind === original.kind && isRepeated(original, second))
    return legible(original, second);
  return reason === 'off' ? legible(original, second) : shouldRead;
}

/** The original in the unit of the second, with as many decimals as show at least two figures of it. */
function legible(original: Quantity, second: Quantity): Quantity {
  for (let decimals = second.decimals; decimals < 6; decimals++) {
    const converted = convert(original, second.unit, decimals);
    if (converted.decimals === 0 || /[1-9].*\d$/.test(converted.digits)) return converted;
  }
  return convert(original, second.unit, second.decimals);
}

const isRepeated = (original: Quantity, second: Quantity): boolean =>
  valueIn(original, original.unit).equals(valueIn(second, second.unit));

/** Whether the pair would be right with its two numbers exchanged: `0.024 mm (0.60 in)`. */
function areExchanged(original: Quantity, second: Quantity): boolean {
  const withNumber = (of: Quantity, from: Quantity): Quantity => ({
    ...of,
    digits: from.digits,
    decimals: from.decimals,
    value: valueIn(from, from.unit)
      .times(of.unit.factor)
      .plus(of.unit.offset ?? of.unit.factor.minus(of.unit.factor)),
  });
  return judgeDual(withNumber(original, second), withNumber(second, original)).agreement === 'agrees';
}
