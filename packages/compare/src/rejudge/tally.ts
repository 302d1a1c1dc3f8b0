import type { Becomes, Outcome } from './outcome.ts';

/** How often each outcome came up, by its words: `changed conforming to nonconforming`. */
export type Tally = Readonly<Record<string, number>>;

/** The words by which an outcome is counted. */
export function tallied(one: Becomes): string {
  switch (one.outcome) {
    case 'untouched':
    case 'same':
    case 'gone':
      return `${one.outcome} ${one.was.verdict}`;
    case 'changed':
    case 'unexplained':
      return `${one.outcome} ${one.was.verdict} to ${one.is.verdict}`;
    case 'added':
      return `added ${one.is.verdict}`;
    case 'cannot':
      return `cannot ${one.because}`;
  }
}

/** Two tallies as one. */
export function addTallies(a: Tally, b: Tally): Tally {
  const sum: Record<string, number> = { ...a };
  for (const [what, count] of Object.entries(b)) sum[what] = (sum[what] ?? 0) + count;
  return sum;
}

/** How many there are of one outcome in a tally. */
export const countOf = (tally: Tally, outcome: Outcome['outcome']): number =>
  Object.entries(tally).reduce(
    (sum, [what, count]) => (what.startsWith(`${outcome} `) ? sum + count : sum),
    0,
  );
