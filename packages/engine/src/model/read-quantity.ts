import {
  describeQuantityFault,
  type Kind,
  kindName,
  parseStatement,
  type Quantity,
  writeQuantity,
} from '../quantity/index.ts';
import type { Report } from './report.ts';

/**
 * A value that a pack states, alone or with a second statement in brackets. What is wrong with it is reported at
 * `pointer`; a second statement that does not agree is an error, and the first is taken.
 */
export function readPackQuantity(
  text: string,
  kind: Kind,
  pointer: string,
  report: Report,
): Quantity | undefined {
  const known = readBefore.get(report) ?? new Map<string, Quantity>();
  const key = `${kind} ${text}`;
  const before = known.get(key);
  if (before !== undefined) return before;
  const read = parseStatement(text, kind);
  if ('fault' in read) {
    const code = read.fault.code === 'wrong-kind' ? 'wrong-quantity' : 'bad-quantity';
    report.add(code, pointer, `A ${kindName(kind)} is expected. ${describeQuantityFault(read.fault)}`);
    return undefined;
  }
  const { original } = read;
  if ('second' in read && read.agreement.agreement === 'disagrees') {
    const { agreement } = read;
    const should = 'shouldRead' in agreement ? ` It should read ${writeQuantity(agreement.shouldRead)}.` : '';
    const reason = agreement.reason.replaceAll('-', ' ');
    report.add(
      'dual-disagrees',
      pointer,
      `${writeQuantity(original)} and ${writeQuantity(read.second)} do not agree (${reason}).${should}`,
    );
    return original;
  }
  known.set(key, original);
  readBefore.set(report, known);
  return original;
}

/** What was read without a fault for one report: written out, a pack states the same values over and over. */
const readBefore = new WeakMap<Report, Map<string, Quantity>>();
