import {
  agreementRemedy,
  describeDisagreement,
  describeQuantityFault,
  type Kind,
  kindName,
  parseStatement,
  type Quantity,
  type Statement,
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
    if (fact !== undefined && read.fault.code === 'wrong-kind' && isOtherwiseEverywhere(fact, kind)) {
      // Where it is of the other kind in every variant, the fact is right and its use is not.
      report.add(code, fact.usedAt, `variant.${fact.name}: ${describeQuantityFault(read.fault)}`, {
        remedy: 'Name the fact that is meant.',
        other: [{ pointer, message: `${fact.name} of ${fact.of}` }],
      });
      return undefined;
    }
    const expected = `${saying}${kindArticle(kind)} ${kindName(kind)} is expected.`;
    // A fault of the kind says itself what is expected.
    const says = `${code === 'wrong-quantity' ? saying : `${expected} `}${describeQuantityFault(read.fault)}`;
    report.add(code, pointer, says, more);
    return undefined;
  }
  const { original } = read;
  if (reportDisagreement(read, pointer, report, saying, more)) return original;
  known.set(key, original);
  readBefore.set(report, known);
  return original;
}

/** Reports a second value that is not the first one converted; answers whether it was so. */
export function reportDisagreement(
  read: Statement,
  pointer: string,
  report: Report,
  saying = '',
  more: Parameters<Report['add']>[3] = {},
): boolean {
  if (!('second' in read) || read.agreement.agreement !== 'disagrees') return false;
  const { original, second, agreement } = read;
  const { reason } = agreement;
  report.add(
    reason === 'as-temperature' || reason === 'as-difference' ? 'temperature-conversion' : 'dual-disagrees',
    pointer,
    `${saying}${describeDisagreement(original, second, agreement)}`,
    { ...more, remedy: agreementRemedy(original, second, agreement) },
  );
  return true;
}

const isOtherwiseEverywhere = ({ others }: NonNullable<Stated['fact']>, kind: Kind): boolean =>
  others.length > 0 && others.every((text) => 'fault' in parseStatement(text, kind));

const kindArticle = (kind: Kind): string => (kind.startsWith('angle') ? 'An' : 'A');

/** What was read without a fault for one report: written out, a pack states the same values over and over. */
const readBefore = new WeakMap<Report, Map<string, Quantity>>();
