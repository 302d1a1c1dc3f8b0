import { InvalidArgumentError } from 'commander';

/** A count as it was typed. */
export function countTyped(text: string): number {
  if (!/^[1-9]\d{0,8}$/.test(text)) throw new InvalidArgumentError('It is a whole number above zero.');
  return Number(text);
}
