import { isList, isMapping } from './json.ts';

/** What two things have in common, from 0 to 1: of all that they say, the share that both say under the same key. */
function likeness(a: unknown, b: unknown): number {
  const inA = sayings(a);
  const inB = sayings(b);
  let common = 0;
  for (const [saying, count] of inA) common += Math.min(count, inB.get(saying) ?? 0);
  const all = total(inA) + total(inB);
  return all === 0 ? 1 : (2 * common) / all;
}

const total = (counts: ReadonlyMap<string, number>): number => {
  let sum = 0;
  for (const count of counts.values()) sum += count;
  return sum;
};

/** Every scalar with the key that it stands under. Prose counts word by word, so that a new wording is still alike. */
function sayings(value: unknown): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  const count = (saying: string, weight: number): void => {
    counts.set(saying, (counts.get(saying) ?? 0) + weight);
  };
  const visit = (one: unknown, key: string): void => {
    if (isList(one)) for (const item of one) visit(item, key);
    else if (isMapping(one)) for (const [inner, item] of Object.entries(one)) visit(item, inner);
    else {
      const said = String(one).split(/\s+/);
      for (const word of said) count(`${key} ${word.toLowerCase()}`, 1 / said.length);
    }
  };
  visit(value, '');
  return counts;
}

export interface Pair {
  readonly before: string;
  readonly after: string;
}

/** From this share on, two things of different names are taken for one that was renamed. */
const ALIKE = 0.5;

/**
 * Which of the names that are gone has become which of the new ones: the most alike first, each once, and none where two
 * fit equally well, since a wrong pair would hide a removal.
 */
export function renamedPairs(
  gone: ReadonlyMap<string, unknown>,
  come: ReadonlyMap<string, unknown>,
): readonly Pair[] {
  const candidates: { readonly before: string; readonly after: string; readonly share: number }[] = [];
  for (const [before, was] of gone)
    for (const [after, is] of come) {
      const share = likeness(was, is);
      if (share >= ALIKE) candidates.push({ before, after, share });
    }
  candidates.sort((a, b) => b.share - a.share);
  const pairs: Pair[] = [];
  const isFree = ({ before, after }: Pair): boolean =>
    !pairs.some((pair) => pair.before === before || pair.after === after);
  for (const one of candidates) {
    if (!isFree(one)) continue;
    const rivals = candidates.filter(
      (other) =>
        other !== one &&
        isFree(other) &&
        other.share === one.share &&
        (other.before === one.before || other.after === one.after),
    );
    if (rivals.length === 0) pairs.push({ before: one.before, after: one.after });
  }
  return pairs;
}
