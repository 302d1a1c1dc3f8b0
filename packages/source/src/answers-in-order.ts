import { isList, isMapping, type SourceMapping, type SourceValue } from './source-value.ts';

/**
 * The document with the order of answers written out wherever a bundle would lose it: in canonical JSON keys are sorted (RFC 8785,
 * 3.2.3), and people are asked in the order that the author chose. An order that the author states stays.
 */
export function answersInOrder(document: SourceMapping): SourceMapping {
  return inMapping(document, 'procedures', (procedures) =>
    inEach(procedures, (procedure) =>
      inMapping(procedure, 'observations', (observations) => inEach(observations, withOrder)),
    ),
  );
}

function withOrder(observation: SourceMapping): SourceMapping {
  const { answers, order } = observation;
  if (order !== undefined || answers === undefined || !isMapping(answers)) return observation;
  const ids = Object.keys(answers);
  const isSorted = ids.every((id, at) => at === 0 || (ids[at - 1] ?? '') < id);
  return isSorted ? observation : { ...observation, order: ids };
}

function inMapping(
  whole: SourceMapping,
  key: string,
  change: (part: SourceMapping) => SourceMapping,
): SourceMapping {
  const part = Object.hasOwn(whole, key) ? whole[key] : undefined;
  if (part === undefined || !isMapping(part)) return whole;
  const changed = change(part);
  return changed === part ? whole : { ...whole, [key]: changed };
}

function inEach(whole: SourceMapping, change: (part: SourceMapping) => SourceMapping): SourceMapping {
  const changed = Object.entries(whole).map(([key, one]): readonly [string, SourceValue] => [
    key,
    typeof one === 'string' || isList(one) ? one : change(one),
  ]);
  return changed.every(([key, one]) => whole[key] === one) ? whole : Object.fromEntries(changed);
}
