/** A text that several places share, with a gap wherever they differ. */
export interface MergedText {
  /** Pieces of text, and between them gaps: the number is that of the gap. */
  readonly pieces: readonly (string | number)[];
  /** What stands in each gap, place by place. */
  readonly gaps: readonly (readonly string[])[];
}

/** Lays texts over one another: what all have stays text, what differs becomes a gap. */
export function mergeTexts(texts: readonly string[]): MergedText {
  const [first = ''] = texts;
  if (texts.every((one) => one === first)) return { pieces: [first], gaps: [] };
  const words = texts.map((one) => one.split(/(\s+|[.,:;()"])/).filter((word) => word !== ''));
  const length = words[0]?.length ?? 0;
  return words.every((one) => one.length === length) ? inStep(words, length) : betweenEnds(words);
}

function inStep(words: readonly (readonly string[])[], length: number): MergedText {
  const pieces: (string | number)[] = [];
  const gaps: (readonly string[])[] = [];
  let text = '';
  let open: string[] | undefined;
  const close = (): void => {
    if (open !== undefined) {
      const known = gaps.findIndex((gap) => gap.every((value, place) => value === open?.[place]));
      pieces.push(known < 0 ? gaps.push(open) - 1 : known);
    }
    open = undefined;
  };
  for (let at = 0; at < length; at++) {
    const here = words.map((one) => one[at] ?? '');
    const isSame = here.every((one) => one === here[0]);
    // A space between two gaps belongs to one wider gap.
    if (isSame && !(open !== undefined && /^\s+$/.test(here[0] ?? '') && differs(words, at + 1))) {
      close();
      text += here[0] ?? '';
    } else {
      if (text !== '') pieces.push(text);
      text = '';
      open = open === undefined ? here : open.map((before, place) => before + (here[place] ?? ''));
    }
  }
  close();
  if (text !== '') pieces.push(text);
  return { pieces, gaps };
}

const differs = (words: readonly (readonly string[])[], at: number): boolean =>
  words.some((one) => one[at] !== words[0]?.[at]);

function betweenEnds(words: readonly (readonly string[])[]): MergedText {
  const shortest = Math.min(...words.map((one) => one.length));
  const [first = []] = words;
  let head = 0;
  while (head < shortest && words.every((one) => one[head] === first[head])) head++;
  let tail = 0;
  while (tail < shortest - head && words.every((one) => one.at(-1 - tail) === first.at(-1 - tail))) tail++;
  const before = first.slice(0, head).join('');
  const after = first.slice(first.length - tail).join('');
  const gap = words.map((one) => one.slice(head, one.length - tail).join(''));
  return {
    pieces: [...(before === '' ? [] : [before]), 0, ...(after === '' ? [] : [after])],
    gaps: [gap],
  };
}
