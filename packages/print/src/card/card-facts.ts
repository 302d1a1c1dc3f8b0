import type { Fact, FactBody } from '@ferrule/engine';

export type Of<Kind extends FactBody['kind']> = Extract<FactBody, { kind: Kind }>;

/** What of an envelope stands on the card beside everything. */
export interface Made {
  readonly seq: number;
  readonly at: string;
  readonly by: string;
}

export const madeBy = ({ seq, at, by }: Fact): Made => ({ seq, at, by });

/** What the card says of each fact of one kind, in order. */
export function each<Kind extends FactBody['kind'], Item>(
  facts: readonly Fact[],
  kind: Kind,
  write: (fact: Of<Kind>, envelope: Fact) => Item | undefined,
): readonly Item[] {
  const isKind = (fact: FactBody): fact is Of<Kind> => fact.kind === kind;
  return facts.flatMap((one) => {
    const item = isKind(one.fact) ? write(one.fact, one) : undefined;
    return item === undefined ? [] : [item];
  });
}
