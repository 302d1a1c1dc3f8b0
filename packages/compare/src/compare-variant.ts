import { pointerTo } from '@ferrule/engine';
import { compareEngine } from './compare-engine.ts';
import { compareValue } from './compare-keys.ts';
import { factsIn, writtenLimits } from './compare-limits.ts';
import type { At, Comparison } from './comparison.ts';
import { has, type Mapping, mappingOf } from './json.ts';
import { write } from './say.ts';

/** The engine of a variant, and its facts. */
export function compareVariant(c: Comparison, at: At, was: Mapping, is: Mapping): void {
  for (const { key, change, weight, before, after } of compareEngine(c.old, c.new, at))
    c.differ(at, key, change, weight, before, after);
  const before = mappingOf(was['facts']);
  const after = mappingOf(is['facts']);
  const limiting = limitingFacts(c.is);
  for (const fact of new Set([...Object.keys(before), ...Object.keys(after)])) {
    const inner = {
      ...at,
      kind: 'fact',
      name: `${at.name}/${fact}`,
      before: pointerTo(at.before, 'facts'),
      after: pointerTo(at.after, 'facts'),
    };
    if (!has(after, fact)) c.differ(inner, fact, 'removed', 'work', write(before[fact]), undefined);
    else if (!has(before, fact)) c.differ(inner, fact, 'added', 'work', undefined, write(after[fact]));
    // What it does to a limit is said there.
    else if (!limiting.has(fact))
      compareValue(c, inner, fact, before[fact], after[fact], { form: 'value', weight: 'conformity' });
  }
}

/** Facts of variants that some limit names. */
function limitingFacts(document: Mapping): ReadonlySet<string> {
  const facts = new Set<string>();
  for (const procedure of Object.values(mappingOf(document['procedures'])))
    for (const tolerance of Object.values(mappingOf(mappingOf(procedure)['tolerances'])))
      for (const fact of factsIn(writtenLimits(mappingOf(tolerance)))) facts.add(fact);
  return facts;
}
