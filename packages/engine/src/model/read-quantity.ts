import {
  describeDisagreement,
  describeQuantityFault,
  type Kind,
  kindName,
  parseStatement,
  type Quantity,
} from '../quantity/index.ts';
import type { Report } from './report.ts';
import type { Stated } from './stated.ts';

/** A value that a pack states, or a fact of the variant: what is wrong with a fact is reported there, naming its use. */
export function readStated(
  { text, pointer, fact }: Stated,
  kind: Kind,
  report: Report,
): Quantity | undefined {
  return readPackQuantity(text, kind, pointer, report, fact);
}

/**
 * A value that a pack states, alone or with a second statement in brackets. What is wrong with it is reported at
 * `pointer`; a second statement that does not agree is an error, and the first is taken.
 */
export function readPackQuantity(
  text: string,
  kind: Kind,
  pointer: string,
  report: Report,
  fact?: Stated['fact'],
): Quantity | undefined {
  const known = readBefore.get(report) ?? new Map<string, Quantity>();
  const key = `${kind} ${text}`;
  const before = known.get(key);
  if (before !== undefined) return before;
  const read = parseStatement(text, kind);
  const saying = fact === undefined ? '' : `${fact.name} of ${fact.of}: `;
  const more = fact === undefined ? {} : { other: [{ pointer: fact.usedAt, message: 'where it is used' }] };
  if ('fault' in read) {
    const mistaken = kind === 'temperature-difference' ? parseStatement(text, 'temperature') : read;
    if ('second' in mistaken && mistaken.agreement.agreement === 'agrees') {
      const { digits, unit } = mistaken.original;
      const difference = `${digits} ${unit.symbol === '°F' ? 'Δ°F' : 'K'}`;
      report.add(
        'temperature-conversion',
        pointer,
        `${saying}A difference of temperatures is expected, and ${text} was converted as a temperature is.`,
        { ...more, remedy: `Write ${difference}, and convert it without the offset.` },
      );
      return undefined;
    }
    const code = read.fault.code === 'wrong-kind' ? 'wrong-quantity' : 'bad-quantity';
    const expected = `${saying}${kindArticle(kind)} ${kindName(kind)} is expected.`;
    report.add(code, pointer, `${expected} ${describeQuantityFault(read.fault)}`, more);
    return undefined;
  }
  const { original } = read;
  if ('second' in read && read.agreement.agreement === 'disagrees') {
    const { agreement } = read;
    const { reason } = agreement;
    report.add(
      reason === 'as-temperature' || reason === 'as-difference' ? 'temperature-conversion' : 'dual-disagrees',
      pointer,
      `${saying}${describeDisagreement(original, read.second, agreement)}`,
      more,
    );
    return original;
  }
  known.set(key, original);
  readBefore.set(report, known);
  return original;
}

const kindArticle = (kind: Kind): string => (kind.startsWith('angle') ? 'An' : 'A');

/** What was read without a fault for one report: written out, a pack states the same values over and over. */
const readBefore = new WeakMap<Report, Map<string, Quantity>>();
