/**
 * The candidate that a misspelt word most likely meant, or undefined if none is near: at most a third of the
 * letters (two at least) inserted, dropped, replaced or swapped with a neighbour. Ties go to the first in code
 * unit order, so that the answer does not depend on the order of the candidates.
 * Optimal string alignment distance (a published textbook recurrence, from memory).
 */
export function nearest(word: string, candidates: Iterable<string>): string | undefined {
  if (word.length > 64) return undefined;
  let found: string | undefined;
  let least = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const candidate of candidates) {
    if (candidate === word || Math.abs(candidate.length - word.length) > least) continue;
    const far = distance(word.toLowerCase(), candidate.toLowerCase());
    if (far >= word.length || far >= candidate.length) continue;
    if (far < least || (far === least && found !== undefined && candidate < found)) {
      least = far;
      found = candidate;
    }
  }
  return found;
}

function distance(a: string, b: string): number {
  let before: number[] = [];
  let above = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let cost = Math.min((above[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (above[j - 1] ?? 0) + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        cost = Math.min(cost, (before[j - 2] ?? 0) + 1);
      }
      row.push(cost);
    }
    before = above;
    above = row;
  }
  return above[b.length] ?? 0;
}
