import { Engine, type TopLevelCondition } from 'json-rules-engine';

/** A rule of json-rules-engine as a question: whether its conditions hold for the facts. */
export function asked(conditions: TopLevelCondition): (facts: Record<string, unknown>) => Promise<boolean> {
  const engine = new Engine([{ conditions, event: { type: 'holds' } }], { allowUndefinedFacts: true });
  engine.addFact('difference', async (_, almanac) => {
    const [a, b] = await Promise.all([almanac.factValue<number>('a'), almanac.factValue<number>('b')]);
    return a - b;
  });
  return async (facts) => (await engine.run(facts)).events.length > 0;
}
