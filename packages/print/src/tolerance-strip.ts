import {
  type Amount,
  type Limits,
  type PlanTolerance,
  parseQuantity,
  Rational,
  type Unit,
  type WrittenVerdict,
  writeInFull,
} from '@ferrule/engine';
import { at, linesAt, picture, textAt } from './drawing.ts';
import { type Markup, markup } from './markup.ts';

/** A value beside its limits, in the base unit of its kind, for a picture: doubles are fine enough to draw by. */
export interface ToleranceStrip {
  readonly low?: Mark;
  readonly high?: Mark;
  /** Where a value may lie to be accepted, where a rule has a guard band on the inside; nowhere, if low is above high. */
  readonly accepted?: { readonly low?: number; readonly high?: number };
  readonly value: Mark;
  /** Expanded uncertainty. */
  readonly spread?: number;
}

interface Mark {
  readonly at: number;
  readonly text: string;
}

/** Undefined where there is no value to draw, or no limits. */
export function stripOf(tolerance: PlanTolerance, verdict: WrittenVerdict): ToleranceStrip | undefined {
  const { limits, limitsFrom, unit, decimals, rule } = tolerance;
  const { low, high } = limitsFrom === undefined ? limits : limitsIn(verdict.limits ?? '', unit);
  const exact = Rational.parse(verdict.exact ?? '');
  if (exact === undefined || (low === undefined && high === undefined)) return undefined;
  const mark = (amount: Amount): Mark => ({
    at: amount.value.toNumber(),
    text: writeInFull(amount, unit, decimals),
  });
  const { assessment } = verdict;
  const variance = Rational.parse(assessment?.variance ?? '')?.toNumber();
  const factor = Number(assessment?.coverageFactor);
  const spread = variance === undefined ? undefined : factor * Math.sqrt(variance);
  const band =
    spread === undefined || (rule.rule !== 'guarded-acceptance' && rule.rule !== 'guarded-both')
      ? undefined
      : rule.guardBand.toNumber() * spread;
  return {
    ...(low === undefined ? {} : { low: mark(low) }),
    ...(high === undefined ? {} : { high: mark(high) }),
    ...(band === undefined
      ? {}
      : {
          accepted: {
            ...(low === undefined ? {} : { low: low.value.toNumber() + band }),
            ...(high === undefined ? {} : { high: high.value.toNumber() - band }),
          },
        }),
    value: { at: exact.toNumber(), text: verdict.value ?? '' },
    ...(spread === undefined || spread === 0 ? {} : { spread }),
  };
}

/** Limits that were worked out, from their words in the verdict. */
function limitsIn(text: string, { kind }: Unit): Limits {
  const read = (part: string | undefined): Amount | undefined => {
    const parsed = part === undefined ? undefined : parseQuantity(part.replace(/^≈ /, ''), kind);
    return parsed !== undefined && 'quantity' in parsed ? parsed.quantity : undefined;
  };
  const [, least] = /^at least (.+)$/.exec(text) ?? [];
  const [, most] = /^at most (.+)$/.exec(text) ?? [];
  const [, from = least, to = most] = /^(.+) to (.+)$/.exec(text) ?? [];
  const low = read(from);
  const high = read(to);
  return { ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) };
}

/** How far a strip reaches: over limits, value and uncertainty, but not further out than twice the width of the limits. */
export function reachOf({ low, high, value, spread = 0 }: ToleranceStrip): { from: number; to: number } {
  const ends = [low, high].flatMap((one) => one?.at ?? []);
  const least = Math.min(...ends, value.at - spread);
  const most = Math.max(...ends, value.at + spread);
  const width = low !== undefined && high !== undefined ? high.at - low.at : Number.POSITIVE_INFINITY;
  const from = Math.max(least, (low?.at ?? least) - 2 * width);
  const to = Math.min(most, (high?.at ?? most) + 2 * width);
  // Some room on both sides; for one limit alone as much as shows which side of it is meant.
  const room = (to - from || Math.abs(value.at) || 1) * (ends.length === 1 ? 0.3 : 0.08);
  return { from: from - room, to: to + room };
}

const FEWEST_CELLS = 20;
const MOST_CELLS = 100;

/**
 * The strip as one line of signs for `columns` columns: `0.024 mm   [...(.......=)=#==]=   0.036 mm`. `[` and `]` are the
 * limits, `(` and `)` what is accepted, `#` the value, `=` how far the true one may lie off, `.` what is inside the limits;
 * `<` or `>` stands at the end where the value lies further out than is drawn. A sign never stands on the wrong side of another.
 */
export function stripLine(strip: ToleranceStrip, columns: number): string {
  const { low, high, accepted, value, spread } = strip;
  const left = low === undefined ? '' : `${low.text} `;
  const right = high === undefined ? '' : ` ${high.text}`;
  const room = columns - [...left].length - [...right].length;
  const count = Math.max(FEWEST_CELLS, Math.min(MOST_CELLS, room));
  const { from, to } = reachOf(strip);
  const cellOf = (place: number): number => Math.floor(((place - from) / (to - from)) * count);
  const within = (cell: number): number => Math.min(count - 1, Math.max(0, cell));
  const lowCell = low === undefined ? -1 : within(cellOf(low.at));
  const highCell = high === undefined ? count : within(cellOf(high.at));
  const signs: string[] = Array.from({ length: count }, (_, cell) =>
    cell > lowCell && cell < highCell ? '.' : ' ',
  );
  if (spread !== undefined)
    for (let cell = within(cellOf(value.at - spread)); cell <= within(cellOf(value.at + spread)); cell++)
      signs[cell] = '=';
  const valueCell = within(
    besideMark(besideMark(cellOf(value.at), value.at, lowCell, low?.at), value.at, highCell, high?.at),
  );
  const isSome = isSomewhere(accepted);
  for (const [place, sign] of isSome
    ? ([
        [accepted?.low, '('],
        [accepted?.high, ')'],
      ] as const)
    : []) {
    if (place === undefined) continue;
    // It gives way to the value, to the side that it is on.
    const cell = within(besideMark(cellOf(place), place, valueCell, value.at));
    signs[cell] = sign;
  }
  // A value that lies on its limit is inside of it.
  if (low !== undefined) signs[valueCell === lowCell ? Math.max(0, lowCell - 1) : lowCell] = '[';
  if (high !== undefined) signs[valueCell === highCell ? Math.min(count - 1, highCell + 1) : highCell] = ']';
  const isBefore = value.at < from;
  const isBeyond = value.at > to;
  signs[valueCell] = isBefore ? '<' : isBeyond ? '>' : '#';
  return `${left}${signs.join('')}${right}`.trimEnd();
}

/** Whether anything is accepted: guard bands may leave nothing. */
function isSomewhere(accepted: ToleranceStrip['accepted']): boolean {
  if (accepted === undefined) return false;
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY } = accepted;
  return low <= high;
}

/** A cell moved by one from that of a mark, to the side on which its place lies, where both would share it. */
function besideMark(cell: number, place: number, markCell: number, markAt: number | undefined): number {
  if (markAt === undefined || place === markAt) return cell;
  if (place < markAt) return cell >= markCell ? markCell - 1 : cell;
  return cell <= markCell ? markCell + 1 : cell;
}

/** What the signs of the line of a strip mean. */
export const stripLegend = ({ accepted, spread }: ToleranceStrip): string =>
  [
    '[ ] limits',
    ...(isSomewhere(accepted) ? ['( ) accepted'] : []),
    '# value',
    ...(spread === undefined ? [] : ['= its uncertainty']),
  ].join(', ');

const WIDTH = 480;
const MARGIN = 16;
const BAND_TOP = 34;
const BAND_HEIGHT = 22;

/** The strip as a picture for paper, legible without colour; `name` keeps several on a page apart. */
export function toleranceStrip(name: string, title: string, strip: ToleranceStrip): Markup {
  const { low, high, accepted, value, spread } = strip;
  const { from, to } = reachOf(strip);
  const x = (place: number): number =>
    MARGIN + ((Math.min(to, Math.max(from, place)) - from) / (to - from)) * (WIDTH - 2 * MARGIN);
  const middle = BAND_TOP + BAND_HEIGHT / 2;
  const start = x(low?.at ?? from);
  const end = x(high?.at ?? to);
  const marks = [low, high].flatMap((one) => (one === undefined ? [] : [one]));
  const acceptedFrom = x(accepted?.low ?? low?.at ?? from);
  const acceptedTo = x(accepted?.high ?? high?.at ?? to);
  const words = [
    ...marks.map((one) => `limit ${one.text}`),
    `value ${value.text}`,
    ...(spread === undefined ? [] : ['the bar is its expanded uncertainty']),
    ...(accepted === undefined ? [] : ['the darker part is accepted']),
  ].join(', ');
  return picture(name, { width: WIDTH, height: 76 }, title, words, [
    markup`<rect x="${at(start)}" y="${BAND_TOP}" width="${at(end - start)}" height="${BAND_HEIGHT}" fill="#eee"/>`,
    accepted === undefined || acceptedTo <= acceptedFrom
      ? undefined
      : markup`<rect x="${at(acceptedFrom)}" y="${BAND_TOP}" width="${at(acceptedTo - acceptedFrom)}" height="${BAND_HEIGHT}" fill="#ccc"/>`,
    marks.map((one) => [
      markup`<path d="M${at(x(one.at))} ${BAND_TOP - 6}V${BAND_TOP + BAND_HEIGHT + 6}" stroke="#000" stroke-width="2"/>`,
      linesAt(x(one.at), BAND_TOP + BAND_HEIGHT + 18, [one.text], {
        size: 11,
        anchor: one === low ? 'start' : 'end',
      }),
    ]),
    spread === undefined
      ? undefined
      : markup`<path d="M${at(x(value.at - spread))} ${middle - 5}v10M${at(x(value.at - spread))} ${middle}H${at(x(value.at + spread))}M${at(x(value.at + spread))} ${middle - 5}v10" fill="none" stroke="#000" stroke-width="1.5"/>`,
    markup`<circle cx="${at(x(value.at))}" cy="${middle}" r="4" fill="#000"/>`,
    textAt(Math.min(WIDTH - 60, Math.max(60, x(value.at))), 20, value.text, {
      size: 12,
      bold: true,
      anchor: 'middle',
    }),
  ]);
}
