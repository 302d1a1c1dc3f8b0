import { InvalidArgumentError } from 'commander';

const MOST = 999_999_999;

/** A count as it was typed. */
export function countTyped(text: string): number {
  if (!/^0*[1-9]\d*$/.test(text)) throw new InvalidArgumentError('It is a whole number above zero.');
  if (Number(text) > MOST) throw new InvalidArgumentError(`It is at most ${MOST}.`);
  return Number(text);
}
