import type { Digest } from '@ferrule/signing';
import type { JobFinding } from './job-verification.ts';
import type { ScannedFact } from './scan-job.ts';

/**
 * Where the facts of a file are not those that were signed. Facts that say the same are found again wherever they stand;
 * what is then left over between two of them was changed, taken away or added.
 */
export function compareWithSigned(
  signed: readonly Digest[],
  facts: readonly ScannedFact[],
): readonly JobFinding[] {
  const findings: JobFinding[] = [];
  const placesOf = new Map<Digest, number[]>();
  for (const [place, digest] of signed.entries())
    placesOf.set(digest, [...(placesOf.get(digest) ?? []), place]);
  const matches = facts.map(({ said }) => placesOf.get(said)?.shift());
  const inOrder = longestRising(matches);
  const isFound = new Set(matches);
  let place = 0;
  let gap: ScannedFact[] = [];
  const pair = (one: ScannedFact, number: number | undefined, left: Set<number>): boolean => {
    if (number === undefined) return false;
    left.delete(number);
    findings.push({
      code: 'fact-changed',
      seq: number + 1,
      line: one.line,
      message: `Fact ${number + 1} was changed since it was signed.`,
    });
    return true;
  };
  const closeGap = (until: number): void => {
    const left = new Set(range(place, until).filter((one) => !isFound.has(one)));
    // What bears the number of a fact that is gone is that fact; of the others one stands for one, in order.
    const others = gap.filter((one) => !pair(one, left.has(one.seq - 1) ? one.seq - 1 : undefined, left));
    for (const one of others) if (!pair(one, left.values().next().value, left)) findings.push(added(one));
    const gone = [...left];
    gap = [];
    if (gone.length === 0) return;
    findings.push(
      ...(until === signed.length && gone.at(-1) === signed.length - 1
        ? dropped(gone, signed.length)
        : missing(gone)),
    );
  };
  for (const [index, one] of facts.entries()) {
    const match = matches[index];
    if (match === undefined) gap.push(one);
    else if (inOrder.has(index)) {
      closeGap(match);
      place = match + 1;
    } else
      findings.push({
        code: 'fact-moved',
        seq: match + 1,
        line: one.line,
        message: `Fact ${match + 1} stands elsewhere than when it was signed.`,
      });
  }
  closeGap(signed.length);
  return findings;
}

const added = ({ seq, line }: ScannedFact): JobFinding => ({
  code: 'fact-added',
  seq,
  line,
  message: `The fact that stands here as number ${seq} was added since it was signed.`,
});

const missing = (gone: readonly number[]): readonly JobFinding[] =>
  runs(gone.map((one) => one + 1)).map(([from, to]) => ({
    code: 'fact-missing',
    seq: from,
    message: `${spanOf(from, to)} missing.`,
  }));

/** The last of what is gone is the end of what was signed. */
function dropped(gone: readonly number[], count: number): readonly JobFinding[] {
  const numbers = runs(gone.map((one) => one + 1));
  const [from = count] = numbers.at(-1) ?? [];
  const before = gone.filter((one) => one + 1 < from);
  return [
    ...missing(before),
    {
      code: 'tail-dropped',
      seq: from,
      message: `The end is gone: ${spanOf(from, count).toLowerCase()} missing of ${count} that were signed.`,
    },
  ];
}

/** `Fact 3 is`, `Facts 3 to 5 are`. */
export const spanOf = (from: number, to: number): string =>
  from === to ? `Fact ${from} is` : `Facts ${from} to ${to} are`;

const range = (from: number, until: number): number[] =>
  Array.from({ length: Math.max(0, until - from) }, (_, index) => from + index);

/** Numbers in order as runs without gaps. */
export function runs(numbers: readonly number[]): readonly (readonly [number, number])[] {
  const found: [number, number][] = [];
  for (const one of numbers) {
    const last = found.at(-1);
    if (last !== undefined && last[1] === one - 1) last[1] = one;
    else found.push([one, one]);
  }
  return found;
}

/** The indices of a longest rising sequence of numbers, those that are undefined left out. */
export function longestRising(numbers: readonly (number | undefined)[]): ReadonlySet<number> {
  // The index that ends the best sequence of each length, and before which one each stands: patience sorting.
  const ends: number[] = [];
  const before = new Map<number, number | undefined>();
  for (const [index, number] of numbers.entries()) {
    if (number === undefined) continue;
    let low = 0;
    let high = ends.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((numbers[ends[middle] ?? 0] ?? 0) < number) low = middle + 1;
      else high = middle;
    }
    before.set(index, low === 0 ? undefined : ends[low - 1]);
    ends[low] = index;
  }
  const found = new Set<number>();
  for (let at = ends.at(-1); at !== undefined; at = before.get(at)) found.add(at);
  return found;
}
