import type { HeldAgainst, ValueSpread } from '@ferrule/compare/rejudge';
import { type Markup, markup } from '../markup.ts';
import { type SpreadLimits, type SpreadMark, spreadPicture } from '../spread-picture.ts';

/** What the two revisions are called beside their limits. */
export interface LimitsNamed {
  readonly older: string;
  readonly newer: string;
}

/** How the values lie, in plain words, a sentence for each line. */
export function saysRejudgedSpread(spread: ValueSpread, named: LimitsNamed): readonly string[] {
  const { values, beyondScale, lowest, highest, mean, standardDeviation, older, newer } = spread;
  const held = (name: string, { low, high, below, inside, above }: HeldAgainst): string => {
    const limits = [
      ...(low === undefined ? [] : [`at least ${low}`]),
      ...(high === undefined ? [] : [`at most ${high}`]),
    ].join(' and ');
    const outside = [
      ...(low === undefined ? [] : [`${below} below`]),
      ...(high === undefined ? [] : [`${above} above`]),
    ];
    return `${name}, ${limits}: ${[`${inside} inside`, ...outside].join(', ')}.`;
  };
  const deviation = standardDeviation === undefined ? '' : `, standard deviation ${standardDeviation}`;
  return [
    `${values} ${values === 1 ? 'value' : 'values'} from ${lowest} to ${highest}, mean ${mean}${deviation}.`,
    ...(beyondScale === undefined
      ? []
      : [`${beyondScale} more beyond the scale of the instrument, not counted here.`]),
    ...(older === undefined || sameLimits(older, newer) ? [] : [held(named.older, older)]),
    ...(newer === undefined ? [] : [held(named.newer, newer)]),
  ];
}

/** The picture of how the values lie against the limits of both revisions, with its words; undefined without bins. */
export function spreadFigure(
  id: string,
  title: string,
  spread: ValueSpread,
  named: LimitsNamed,
): Markup | undefined {
  const { older, newer, edges, bins } = spread;
  const drawn = spreadPicture({
    ...{ name: id, title, edges: edges.map(markOf), bins },
    ...(older === undefined || sameLimits(older, newer) ? {} : { older: limitsOf(named.older, older) }),
    ...(newer === undefined ? {} : { newer: limitsOf(named.newer, newer) }),
  });
  if (drawn === undefined) return undefined;
  return markup`<figure class="spread">${drawn}<figcaption>${saysRejudgedSpread(spread, named).map((one) => markup`<div>${one}</div>`)}</figcaption></figure>`;
}

const sameLimits = (older: HeldAgainst, newer: HeldAgainst | undefined): boolean =>
  newer !== undefined && older.low === newer.low && older.high === newer.high;

const limitsOf = (named: string, { low, high, ...counts }: HeldAgainst): SpreadLimits => ({
  named,
  ...(low === undefined ? {} : { low: markOf(low) }),
  ...(high === undefined ? {} : { high: markOf(high) }),
  ...counts,
});

/** All of them are in one unit, so the number is the place; a picture needs no more digits than a double has. */
const markOf = (text: string): SpreadMark => ({ at: Number.parseFloat(text.replace(/^≈ /, '')), text });
