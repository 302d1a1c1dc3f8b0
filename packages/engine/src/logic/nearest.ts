/**
 * The candidate that a misspelt word most likely meant, or undefined if none is near: at most a third of the
 * letters (two at least) inserted, dropped, replaced or swapped with a neighbour. Ties go to the first in code
 * unit order, so that the answer does not depend on the order of the candidates.
 * Optimal string alignment distance (a published textbook recurrence, from memory).
 */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > LONGEST) return undefined;
  let found: string | undefined;
  let least = Math.max(2, Math.floor(word.length / 3)) + 1;
  const small = word.toLowerCase();
  for (const candidate of candidates) {
    if (candidate === word || Math.abs(candidate.length - word.length) > least) continue;
    const far = distance(small, candidate.toLowerCase(), least);
    if (far >= word.length || far >= candidate.length) continue;
    if (far < least || (far === least && found !== undefined && candidate < found)) {
      least = far;
      found = candidate;
    }
  }
  return found;
}

const LONGEST = 64;

/**
 * Anything above `most` where the distance is more than that: only cells that can still be within it are reckoned, since
 * a pack may have thousands of names and hundreds of misspelt ones.
 */
function distance(a: string, b: string, most: number): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  let lowestAbove = 0;
  for (let i = 1; i <= a.length; i++) {
    const from = Math.max(1, i - most);
    const until = Math.min(b.length, i + most);
    const row: number[] = new Array(b.length + 1).fill(most + 1);
    if (from === 1) row[0] = i;
    let lowest = i;
    for (let j = from; j <= until; j++) {
      const isSame = a.charCodeAt(i - 1) === b.charCodeAt(j - 1);
      let cost = Math.min((above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (above[j - 1] ?? 0) + (isSame ? 0 : 1));
      if (
        i > 1 &&
        j > 1 &&
        a.charCodeAt(i - 1) === b.charCodeAt(j - 2) &&
        a.charCodeAt(i - 2) === b.charCodeAt(j - 1)
      )
        cost = Math.min(cost, (before[j - 2] ?? 0) + 1);
      row[j] = cost;
      if (cost < lowest) lowest = cost;
    }
    // Two rows together, because neighbours that are swapped are reckoned from the one before.
    if (lowest > most && lowestAbove > most) return most + 1;
    lowestAbove = lowest;
    before = above;
    above = row;
  }
  return above[b.length] ?? 0;
}
