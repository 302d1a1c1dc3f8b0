import { type Procedure, pointerTo } from '@ferrule/engine';
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
      for (const { side, fact, key } of limits) {
        const said = sideOf(fact);
        const other: Side = side === 'low' ? 'high' : 'low';
        if (said === other) {
          yield {
            pointer: where + key,
            message: `${fact} is the ${side === 'low' ? 'lower' : 'upper'} limit here, and its name says ${endOf(fact)}.`,
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

const endOf = (fact: string): string => fact.slice(fact.lastIndexOf('-') + 1);
const stemOf = (fact: string): string => fact.slice(0, Math.max(0, fact.lastIndexOf('-')));

function sideOf(fact: string): Side | undefined {
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
    text?.startsWith('variant.') === true ? [{ side, fact: text.slice('variant.'.length), key }] : [],
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
