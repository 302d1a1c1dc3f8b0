import { type Procedure, parseStatement, pointerTo, Rational, type Unit } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const mixedLimits: DiagnosticKind = {
  code: 'mixed-limits',
  severity: 'warning',
  says: 'A limit is taken from a fact whose name says that it is another limit.',
  marks: 'value',
  examine: limitsFromOtherFacts,
};

type Side = 'low' | 'high';
const words: Readonly<Record<Side, readonly string[]>> = {
  low: ['low', 'lowest', 'min', 'minimum', 'least', 'lower'],
  high: ['high', 'highest', 'max', 'maximum', 'most', 'upper'],
};

interface Limit {
  readonly side: Side;
  readonly fact: string;
  readonly key: string;
}

function* limitsFromOtherFacts({ pack }: Subject): Generator<Finding> {
  const facts = new Set(Object.values(pack.variants).flatMap((one) => Object.keys(one.facts ?? {})));
  for (const [name, { tolerances = {} }] of Object.entries(pack.procedures)) {
    for (const [id, tolerance] of Object.entries(tolerances)) {
      const where = pointerTo('/procedures', name, 'tolerances', id);
      const limits = limitsOf(tolerance);
      const units = (tolerance.between ?? []).map((one) =>
        typeof one === 'string' ? unitOf(one) : undefined,
      );
      if (units[0] !== undefined && units[1] !== undefined && isOtherSystem(units[0], units[1])) {
        yield {
          pointer: `${where}/between`,
          message: `The lower limit is in ${units[0].symbol}, and the upper one in ${units[1].symbol}.`,
          remedy: 'Look up the unit of both, and write them in one.',
        };
      }
      for (const { side, fact, key } of limits) {
        const said = sideOf(fact);
        const other: Side = side === 'low' ? 'high' : 'low';
        if (said === other) {
          yield {
            pointer: where + key,
            message: `${fact} is the ${side === 'low' ? 'lower' : 'upper'} limit here, and its name says ${wordOf(fact)}.`,
            remedy: 'Name the fact for this side, or change the side.',
          };
          continue;
        }
        if (said === undefined) continue;
        const meant = meantBy(tolerance.of, id, fact, facts);
        if (meant !== undefined) {
          yield {
            pointer: where + key,
            message: `${fact} is a limit of ${tolerance.of} here, and there is ${meant}.`,
            remedy: `Did you mean variant.${meant}?`,
          };
        }
      }
      const [low, high] = limits;
      const isMixed =
        low !== undefined && high !== undefined && sideOf(low.fact) === 'low' && sideOf(high.fact) === 'high';
      if (!isMixed || stemOf(low.fact) === stemOf(high.fact)) continue;
      if (limits.some((one) => meantBy(tolerance.of, id, one.fact, facts) !== undefined)) continue;
      if (!facts.has(high.fact.replace(stemOf(high.fact), stemOf(low.fact)))) continue;
      yield {
        pointer: `${where}/between`,
        message: `The limits are of two different things: ${low.fact} and ${high.fact}.`,
        remedy: 'Take both from the same thing.',
      };
    }
  }
}

/** The unit in which a limit is written; undefined for a fact. */
function unitOf(text: string): Unit | undefined {
  const read = parseStatement(text);
  return 'fault' in read ? undefined : read.original.unit;
}

/** Units of one kind that are not a power of ten apart, such as millimetres and inches. */
function isOtherSystem(one: Unit, other: Unit): boolean {
  const ratio = one.factor.over(other.factor);
  const larger = ratio.compare(Rational.one) < 0 ? Rational.one.over(ratio) : ratio;
  return one.kind === other.kind && !/^10*$/.test(larger.toFraction());
}

const wordOf = (fact: string): string =>
  /^(?:top|max|maximum|highest|min|minimum|lowest)(?=-)/.exec(fact)?.[0] ?? endOf(fact);
const endOf = (fact: string): string => fact.slice(fact.lastIndexOf('-') + 1);
const stemOf = (fact: string): string => fact.slice(0, Math.max(0, fact.lastIndexOf('-')));

function sideOf(fact: string): Side | undefined {
  if (/^(?:top-speed|max|maximum|highest)(?:-|$)/.test(fact)) return 'high';
  if (/^(?:min|minimum|lowest)(?:-|$)/.test(fact)) return 'low';
  const end = fact.includes('-') ? endOf(fact) : '';
  return words.low.includes(end) ? 'low' : words.high.includes(end) ? 'high' : undefined;
}

function limitsOf(tolerance: NonNullable<Procedure['tolerances']>[string]): readonly Limit[] {
  const written = [
    ['low', tolerance['at-least'], '/at-least'],
    ['high', tolerance['at-most'], '/at-most'],
    ['low', tolerance.between?.[0], '/between/0'],
    ['high', tolerance.between?.[1], '/between/1'],
  ] as const;
  return written.flatMap(([side, text, key]) =>
    typeof text === 'string' && text.startsWith('variant.')
      ? [{ side, fact: text.slice('variant.'.length), key }]
      : [],
  );
}

/**
 * The fact of the same end that goes with what is judged, where the one that stands here goes with something else: what
 * is judged has a word of its name that the other has not.
 */
function meantBy(
  of: string,
  tolerance: string,
  fact: string,
  facts: ReadonlySet<string>,
): string | undefined {
  const judged = new Set(`${of.replace(/[.@]/g, '-')}-${tolerance}`.split('-'));
  const own = stemOf(fact).split('-');
  if (own.some((word) => judged.has(word))) return undefined;
  return [...facts].find((one) => {
    const stem = stemOf(one);
    return (
      one !== fact &&
      endOf(one) === endOf(fact) &&
      stem !== '' &&
      stem.split('-').every((word) => judged.has(word))
    );
  });
}
