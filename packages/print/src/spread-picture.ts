import { at, picture, textAt } from './drawing.ts';
import { type Markup, markup } from './markup.ts';
import { textWidth } from './text-width.ts';

/** A place on the axis, in any unit that all places share, with its words. */
export interface SpreadMark {
  readonly at: number;
  readonly text: string;
}

/** Limits that values are held against, with the words that name them. */
export interface SpreadLimits {
  /** `1.0.0`, `now`. */
  readonly named: string;
  readonly low?: SpreadMark;
  readonly high?: SpreadMark;
  readonly below: number;
  readonly inside: number;
  readonly above: number;
}

/** How many values lie where, counted in bins. */
export interface SpreadDrawn {
  /** Keeps the ids of several pictures on a page apart. */
  readonly name: string;
  readonly title: string;
  /** The edges of the bins in ascending order; at least two. */
  readonly edges: readonly SpreadMark[];
  /** Before the first edge, between each two, and behind the last: one more than there are edges. */
  readonly bins: readonly number[];
  /** The older limits, drawn broken, and the newer ones, drawn through; or only one of the two. */
  readonly older?: SpreadLimits;
  readonly newer?: SpreadLimits;
}

const WIDTH = 680;
const SIDE = 70;
const TOP = 84;
const HIGH = 170;
const TEXT = 11;
/** Of the bars before the first edge and behind the last, which stand apart. */
const TAIL = 30;

/** The picture of a spread; undefined where there are no bins to draw. */
export function spreadPicture(drawn: SpreadDrawn): Markup | undefined {
  const { name, title, edges, bins, older, newer } = drawn;
  const [first] = edges;
  const last = edges.at(-1);
  if (first === undefined || last === undefined || last.at <= first.at) return undefined;
  const most = Math.max(1, ...bins);
  const foot = TOP + HIGH;
  const xOf = (value: number): number =>
    SIDE + ((value - first.at) / (last.at - first.at)) * (WIDTH - 2 * SIDE);
  const bar = (from: number, to: number, count: number, isTail: boolean): Drawn | undefined => {
    if (count === 0) return undefined;
    const height = Math.max(1, (count / most) * HIGH);
    return {
      shape: markup`<rect x="${at(from)}" y="${at(foot - height)}" width="${at(to - from)}" height="${at(height)}" fill="${isTail ? '#fff' : '#ddd'}" stroke="#000" stroke-width="0.8"${isTail ? markup` stroke-dasharray="2 2"` : undefined}/>`,
      words: textAt((from + to) / 2, foot - height - 3, String(count), {
        ...{ size: 9, anchor: 'middle', isOnLines: true },
      }),
    };
  };
  const inner = edges.slice(1).map((edge, place) => {
    const from = edges[place];
    return from === undefined ? undefined : bar(xOf(from.at), xOf(edge.at), bins[place + 1] ?? 0, false);
  });
  const left = xOf(first.at);
  const right = xOf(last.at);
  const tails = [
    bar(left - 8 - TAIL, left - 8, bins[0] ?? 0, true),
    bar(right + 8, right + 8 + TAIL, bins[edges.length] ?? 0, true),
  ];
  const every = Math.max(1, Math.ceil((edges.length - 1) / 5));
  const ticks = edges
    .filter((_, place) => place % every === 0)
    .map(
      (edge) =>
        markup`<path d="M${at(xOf(edge.at))} ${foot}v4" stroke="#000"/>${textAt(xOf(edge.at), foot + 16, edge.text, { size: TEXT, anchor: 'middle' })}`,
    );
  const lines = [
    ...(older === undefined ? [] : limitLines(older, xOf, foot, 40, true)),
    ...(newer === undefined ? [] : limitLines(newer, xOf, foot, 62, false)),
  ];
  const content = markup`${textAt(SIDE, 18, title, { size: 13, bold: true })}
<path d="M${left - 8 - TAIL} ${foot}H${right + 8 + TAIL}" stroke="#000"/>
${[...tails, ...inner].map((one) => one?.shape)}${ticks}${lines.map(({ shape }) => shape)}${[...tails, ...inner, ...lines].map((one) => one?.words)}
${bins[0] === 0 ? undefined : textAt(left - 8 - TAIL / 2, foot + 30, 'below', { size: 9, anchor: 'middle' })}
${bins[edges.length] === 0 ? undefined : textAt(right + 8 + TAIL / 2, foot + 30, 'above', { size: 9, anchor: 'middle' })}`;
  return picture(name, { width: WIDTH, height: foot + 40 }, title, saysSpread(drawn), content);
}

/** Words are drawn over all shapes, so that no line goes through them. */
interface Drawn {
  readonly shape: Markup;
  readonly words: Markup;
}

/** A line for each limit, with its words in a row of their own: which is which is told by the words, the row and the stroke. */
function limitLines(
  { named, low, high }: SpreadLimits,
  xOf: (value: number) => number,
  foot: number,
  row: number,
  isBroken: boolean,
): readonly Drawn[] {
  const line = ({ at: place, text }: SpreadMark, isLow: boolean): Drawn => {
    const x = xOf(place);
    const words = `${named}: ${isLow ? 'at least' : 'at most'} ${text}`;
    const width = textWidth(words, TEXT) + 4;
    // Words point away from what lies between the limits, unless they would leave the picture.
    const isLeft = isLow ? x - width > 0 : x + width > WIDTH;
    return {
      shape: markup`<path d="M${at(x)} ${row - 8}V${foot}" stroke="#000" stroke-width="${isBroken ? 1.2 : 2}"${isBroken ? markup` stroke-dasharray="5 3"` : undefined}/>`,
      words: textAt(isLeft ? x - 4 : x + 4, row, words, {
        ...{ size: TEXT, anchor: isLeft ? 'end' : 'start', isOnLines: true },
      }),
    };
  };
  return [
    ...(low === undefined ? [] : [line(low, true)]),
    ...(high === undefined ? [] : [line(high, false)]),
  ];
}

/** All that the picture shows, in words. */
export function saysSpread({ edges, bins, older, newer }: SpreadDrawn): string {
  const all = bins.reduce((sum, one) => sum + one, 0);
  const limits = [older, newer].flatMap((one) => {
    if (one === undefined) return [];
    const { named, low, high, below, inside, above } = one;
    const said = [
      ...(low === undefined ? [] : [`at least ${low.text}`]),
      ...(high === undefined ? [] : [`at most ${high.text}`]),
    ].join(' and ');
    return [`${named}, ${said}: ${below} below, ${inside} inside, ${above} above.`];
  });
  const counted = bins.flatMap((count, place) => {
    if (count === 0) return [];
    const from = edges[place - 1];
    const to = edges[place];
    if (from === undefined) return [`${count} below ${to?.text ?? ''}`];
    return [to === undefined ? `${count} from ${from.text}` : `${count} from ${from.text} to ${to.text}`];
  });
  return [`${all} ${all === 1 ? 'value' : 'values'}.`, ...limits, `By bins: ${counted.join('; ')}.`].join(
    ' ',
  );
}
