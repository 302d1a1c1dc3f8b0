import { at } from '../drawing.ts';
import { type Markup, markup } from '../markup.ts';
import { reachOf } from '../tolerance-strip.ts';
import type { CardStrip, CardWord } from './generated/card-document.ts';

const WIDTH = 160;
const HEIGHT = 18;

/**
 * A value beside its limits, small enough for a cell of a table: the limits are two posts, the value is a dot, its uncertainty
 * a bar, and what a rule with a guard band accepts is darker. What it shows stands in words for whoever cannot see it.
 */
export function stripMark(strip: CardStrip): Markup {
  const { low, high, accepted, value, spread } = strip;
  const { from, to } = reachOf(strip);
  const x = (place: number): number =>
    5 + ((Math.min(to, Math.max(from, place)) - from) / (to - from)) * (WIDTH - 10);
  const middle = HEIGHT / 2;
  const start = x(low?.at ?? from);
  const end = x(high?.at ?? to);
  const innerStart = x(accepted?.low ?? low?.at ?? from);
  const innerEnd = x(accepted?.high ?? high?.at ?? to);
  const words = [
    ...[low, high].flatMap((one) => (one === undefined ? [] : [`limit ${one.text}`])),
    `value ${value.text}`,
  ].join(', ');
  return markup`<svg class="strip" viewBox="0 0 ${WIDTH} ${HEIGHT}" preserveAspectRatio="none" role="img" aria-label="${words}"><rect x="${at(start)}" y="4" width="${at(end - start)}" height="10" fill="#ddd"/>${
    accepted === undefined || innerEnd <= innerStart
      ? undefined
      : markup`<rect x="${at(innerStart)}" y="4" width="${at(innerEnd - innerStart)}" height="10" fill="#aaa"/>`
  }${[low, high].map((one) => (one === undefined ? undefined : markup`<path d="M${at(x(one.at))} 1V${HEIGHT - 1}" stroke="#000" stroke-width="2"/>`))}${
    spread === undefined
      ? undefined
      : markup`<path d="M${at(x(value.at - spread))} ${middle - 3}v6m0 -3H${at(x(value.at + spread))}m0 -3v6" fill="none" stroke="#000" stroke-width="1.3"/>`
  }<circle cx="${at(x(value.at))}" cy="${middle}" r="3.6" fill="#000" stroke="#fff" stroke-width="1"/></svg>`;
}

/** A tick for what conforms; words for everything else, which has to be noticed. */
export function verdictMark(
  verdict: CardWord | undefined,
  { conceded, isStruck }: { readonly conceded?: boolean | undefined; readonly isStruck?: boolean } = {},
): Markup | undefined {
  if (verdict === undefined) return undefined;
  if (isStruck === true) return markup`<span class="open">STRUCK</span>`;
  const also = conceded === true ? markup` <span class="open">CONCESSION</span>` : undefined;
  switch (verdict) {
    case 'conforming':
      return markup`<svg class="mark" viewBox="0 0 10 10" role="img" aria-label="conforming"><path d="M1 5.5L4 8.5L9 1.5" fill="none" stroke="#000" stroke-width="1.8"/></svg>${also}`;
    case 'nonconforming':
      return markup`<span class="bad">NOT CONFORMING</span>${also}`;
    case 'inconclusive':
      return markup`<span class="open">INCONCLUSIVE</span>${also}`;
  }
}
