/** A stretch of a text, and whether the other text has it not. */
export interface Stretch {
  readonly text: string;
  readonly isOtherwise: boolean;
}

/** So many words at most are held against each other: the table of them grows with both. */
const MOST_WORDS = 400;

/**
 * Two texts as stretches, those marked that only one of them has, word by word (longest common subsequence). Texts that share
 * less than half of their words, or are too long, are not marked: all of it is otherwise.
 */
export function wordsOtherwise(
  before: string,
  after: string,
): readonly [before: readonly Stretch[], after: readonly Stretch[]] {
  const was = wordsIn(before);
  const is = wordsIn(after);
  const whole = (text: string): readonly Stretch[] => (text === '' ? [] : [{ text, isOtherwise: false }]);
  if (was.length > MOST_WORDS || is.length > MOST_WORDS) return [whole(before), whole(after)];
  // Of what is left of both from each place on, how many words they share.
  const shared = Array.from({ length: was.length + 1 }, () => new Uint16Array(is.length + 1));
  for (let i = was.length - 1; i >= 0; i--)
    for (let j = is.length - 1; j >= 0; j--) {
      const row = shared[i];
      if (row !== undefined)
        row[j] =
          was[i] === is[j]
            ? (shared[i + 1]?.[j + 1] ?? 0) + 1
            : Math.max(shared[i + 1]?.[j] ?? 0, row[j + 1] ?? 0);
    }
  const common = shared[0]?.[0] ?? 0;
  if (common * 2 < Math.max(was.length, is.length) || before === after) return [whole(before), whole(after)];
  const [left, right]: [Stretch[], Stretch[]] = [[], []];
  let [i, j] = [0, 0];
  while (i < was.length || j < is.length) {
    if (i < was.length && was[i] === is[j]) {
      add(left, was[i++], false);
      add(right, is[j++], false);
    } else if (j >= is.length || (i < was.length && (shared[i + 1]?.[j] ?? 0) >= (shared[i]?.[j + 1] ?? 0)))
      add(left, was[i++], true);
    else add(right, is[j++], true);
  }
  return [left, right];
}

/** Words, each with one blank behind it. */
const wordsIn = (text: string): readonly string[] =>
  text
    .split(/\s+/)
    .filter((word) => word !== '')
    .map((word) => `${word} `);

function add(to: Stretch[], text = '', isOtherwise: boolean): void {
  const last = to.at(-1);
  if (last?.isOtherwise === isOtherwise) to[to.length - 1] = { text: last.text + text, isOtherwise };
  else to.push({ text, isOtherwise });
}
