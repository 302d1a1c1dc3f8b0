import { parseStatement, pointerTo, type Quantity, Rational, writeQuantity } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const oddFact: DiagnosticKind = {
  code: 'odd-fact',
  severity: 'warning',
  says: 'A fact differs from the same fact of every other variant by ten, a hundred, a thousand or 25.4 times.',
  marks: 'value',
  examine: oddFacts,
};

/** A misplaced point, a prefix left out, and inches for millimetres. */
const factors = [
  ['ten times', Rational.of(10)],
  ['a hundred times', Rational.of(100)],
  ['a thousand times', Rational.of(1000)],
  ['25.4 times', Rational.of(254, 10)],
] as const;
/** What variants of one family may differ by. */
const near = Rational.of(115, 100);

interface Stated {
  readonly variant: string;
  readonly quantity: Quantity;
}

function* oddFacts({ pack }: Subject): Generator<Finding> {
  const names = new Set(Object.values(pack.variants).flatMap((one) => Object.keys(one.facts ?? {})));
  for (const name of names) {
    const stated = Object.entries(pack.variants).flatMap(([variant, { facts = {} }]): readonly Stated[] => {
      const read = parseStatement(Object.hasOwn(facts, name) ? (facts[name] ?? '') : '');
      return 'fault' in read || read.original.value.sign === 0 ? [] : [{ variant, quantity: read.original }];
    });
    if (stated.length < 2) continue;
    for (const one of stated.length === 2 ? stated.slice(1) : stated) {
      const others = stated.filter((other) => other !== one);
      const off = factorBetween(one, others);
      const [first] = others;
      if (off === undefined || first === undefined) continue;
      yield {
        pointer: pointerTo('/variants', one.variant, 'facts', name),
        message: `${name} is ${writeQuantity(one.quantity)} here, and about ${off} ${others.length > 1 ? 'that of every other variant' : `that of ${first.variant}`}.`,
        remedy: 'Look for a misplaced point or a wrong unit.',
        other: [
          {
            pointer: pointerTo('/variants', first.variant, 'facts', name),
            message: `${writeQuantity(first.quantity)} here`,
          },
        ],
      };
    }
  }
}

function factorBetween(one: Stated, others: readonly Stated[]): string | undefined {
  if (others.some((other) => other.quantity.kind !== one.quantity.kind)) return undefined;
  const ratios = others.map((other) => one.quantity.value.over(other.quantity.value));
  if (ratios.some((ratio) => ratio.sign < 0)) return undefined;
  for (const [said, factor] of factors) {
    if (ratios.every((ratio) => isNear(ratio.over(factor)))) return said;
    if (ratios.every((ratio) => isNear(ratio.times(factor))))
      return `1/${factor.toDecimal(factor.equals(Rational.of(254, 10)) ? 1 : 0)} of`;
  }
  return undefined;
}

const isNear = (ratio: Rational): boolean =>
  ratio.compare(near) <= 0 && Rational.one.over(near).compare(ratio) <= 0;
