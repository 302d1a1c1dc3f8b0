import type { Amount } from '../quantity/index.ts';
import type { Limits } from './limits.ts';
import { spanKind } from './permissible-error.ts';
import type { Beyond, Verdict } from './verdict.ts';

/** A value of which only is known that it lies above an amount, or below it; the amount itself is left out. */
export interface Bound {
  readonly beyond: Beyond;
  readonly amount: Amount;
}

/**
 * The verdict that holds for every value beyond a bound, or inconclusive where they do not all come out alike:
 * `> 400 bar` is too high for at most 400 bar, conforms to at least 400 bar, and says nothing for 350 to 450 bar.
 */
export function judgeBound(limits: Limits, { beyond, amount }: Bound): Verdict {
  const isAbove = beyond === 'above';
  const kind = spanKind(amount.kind);
  const past = isAbove ? limits.high : limits.low;
  const behind = isAbove ? limits.low : limits.high;
  const by = (limit: Amount) => {
    const distance = amount.value.minus(limit.value);
    return { kind, value: isAbove ? distance : distance.negated() };
  };
  if (past !== undefined && by(past).value.sign >= 0) {
    const side = isAbove ? 'high' : 'low';
    return { verdict: 'nonconforming', value: amount, beyond, side, excess: by(past) };
  }
  if (past === undefined && behind !== undefined && by(behind).value.sign >= 0)
    return { verdict: 'conforming', value: amount, beyond, margin: by(behind) };
  return { verdict: 'inconclusive', value: amount, beyond, because: 'beyond-scale' };
}
