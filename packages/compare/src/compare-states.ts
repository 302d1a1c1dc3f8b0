import { isMapping, mappingOf, textsOf } from './json.ts';

/** How one condition over states lies to another. */
export type StateRelation = 'same' | 'narrower' | 'wider' | 'other';

/** `timing-pin: withdrawn; no bore pump: seated`: a map of states as a line. */
export const writeStates = (map: unknown): string =>
  [...wanted(map)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, values]) => `${key}: ${[...values].join(' or ')}`)
    .join('; ');

/** Each state that is spoken of, with its quantifier, and the values that it may have. */
function wanted(map: unknown): ReadonlyMap<string, ReadonlySet<string>> {
  const all = new Map<string, ReadonlySet<string>>();
  for (const [key, value] of Object.entries(mappingOf(map))) {
    if (isMapping(value))
      for (const [inner, one] of Object.entries(value))
        all.set(`${key.replace('-', ' ')} ${inner}`, new Set(textsOf(one)));
    else all.set(key, new Set(textsOf(value)));
  }
  return all;
}

/** Whether a condition holds in fewer states than before, in more, in the same, or in others. */
export function stateRelation(before: unknown, after: unknown): StateRelation {
  const was = wanted(before);
  const is = wanted(after);
  let isNarrower = false;
  let isWider = false;
  for (const key of new Set([...was.keys(), ...is.keys()])) {
    const from = was.get(key);
    const to = is.get(key);
    if (from === undefined) isNarrower = true;
    else if (to === undefined) isWider = true;
    else {
      const drops = [...from].some((value) => !to.has(value));
      const adds = [...to].some((value) => !from.has(value));
      // That no bore has one of these values says the more, the more values there are.
      const isNegative = key.startsWith('no bore ');
      if (isNegative ? adds : drops) isNarrower = true;
      if (isNegative ? drops : adds) isWider = true;
    }
  }
  if (isNarrower && isWider) return 'other';
  return isNarrower ? 'narrower' : isWider ? 'wider' : 'same';
}
