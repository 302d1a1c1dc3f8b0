import {
  firingAngles,
  followerAt,
  type PlanCrank,
  Rational,
  type ResolvedVariant,
  writeAngle,
} from '@ferrule/engine';
import { deferral } from './deferral.ts';
import { at, lineHeight, linesAt, picture, textAt } from './drawing.ts';
import { type Markup, markup } from './markup.ts';
import { textLines, textWidth } from './text-width.ts';

/** What stands around a picture: whose it is, and what every reader has to know. */
export interface PictureHeading {
  /** The pack, with its revision. */
  readonly pack: string;
  readonly notice?: string;
}

const WIDTH = 980;
const LEFT = 130;
const CHART = 720;
const RIGHT = LEFT + CHART;
const ROW = 36;
const SMALL = 12;
const TEXT = 13;

/**
 * The working cycle of one variant as a picture: a band for each bore from 0° to the end of the cycle, hatched where its
 * follower is off the base circle, with its firing TDC; the stops, and below them each turn of the rotation plan with the
 * bores that it leads to. Undefined for a variant without crank data. The picture is pure SVG, in black on white.
 */
export function crankPicture(
  variant: ResolvedVariant,
  about: { readonly runningDirection?: string; readonly heading?: PictureHeading },
): string | undefined {
  return drawCrank(variant, about)?.toString();
}

/** The same as a piece, for a page that has it among other things. */
export function drawCrank(
  variant: ResolvedVariant,
  about: { readonly runningDirection?: string; readonly heading?: PictureHeading },
): Markup | undefined {
  const { phasing, crank } = variant;
  if (phasing === undefined) return undefined;
  const cycle = numberOf(phasing.cycle);
  const scale = (degrees: number): number => LEFT + (degrees / cycle) * CHART;
  const fires = firingAngles(phasing);
  const stops = stopsOf(crank);
  const drawn: Markup[] = [];
  let y = 0;
  const write = (text: string, size: number, bold = false): void => {
    const lines = textLines(text, WIDTH - 40, size);
    drawn.push(...linesAt(20, y + size, lines, { size, bold }));
    y += lines.length * lineHeight(size) + 4;
  };

  y = 14;
  if (about.heading !== undefined) {
    write(`Crank of the ${variant.title}`, 19, true);
    write(about.heading.pack, TEXT);
    if (about.heading.notice !== undefined) write(`NOTICE: ${about.heading.notice}`, SMALL);
  }
  const order = phasing.firingOrder.join('-');
  const direction =
    about.runningDirection === undefined ? '' : ` Running direction: ${about.runningDirection}.`;
  write(
    `Firing order ${order}.${direction} Degrees of crankshaft, counted in the running direction from the firing TDC of cylinder 1.`,
    TEXT,
  );
  y += 6;

  // Flags of stops and marks, in as many lanes as they need to stand clear of one another.
  const flags = [
    ...stops.map((stop) => ({ x: scale(stop.degrees), text: stop.letter, stop: true })),
    ...marksOf(crank).map((mark) => ({ x: scale(mark.degrees), text: mark.sign, stop: false })),
  ];
  const lanes: { x: number; half: number }[][] = [];
  const placed = flags.map((flag) => {
    const half = textWidth(flag.text, SMALL) / 2 + 7;
    let lane = lanes.findIndex((one) => one.every((other) => Math.abs(other.x - flag.x) > other.half + half));
    if (lane < 0) lane = lanes.push([]) - 1;
    lanes[lane]?.push({ x: flag.x, half });
    return { ...flag, half, lane };
  });
  const laneTop = y;
  y += lanes.length * 24 + 4;

  // The scale.
  const ticks = Array.from({ length: Math.round(cycle / 90) + 1 }, (_, index) => index * 90);
  y += SMALL;
  const scaleLine = y;
  y += 10;
  const bandsTop = y;

  const served = servedBy(crank);
  const bores = variant.bores;
  const bandsBottom = bandsTop + bores.length * ROW;
  const turnsTop = bandsBottom + 30;
  const legs = legsOf(crank, stops);
  const turns = legs.map((leg) => ({
    leg,
    lines: leg.leads.flatMap((words) => textLines(words, WIDTH - RIGHT - 16, SMALL)),
  }));
  const turnHeights = turns.map(({ lines }) => Math.max(ROW, lines.length * lineHeight(SMALL) + 8));
  const turnsBottom = legs.length === 0 ? bandsBottom : turnsTop + turnHeights.reduce((a, b) => a + b, 0);

  // Lines of the scale and of the stops run behind everything.
  for (const tick of ticks)
    drawn.push(
      markup`<line x1="${at(scale(tick))}" y1="${at(bandsTop - 4)}" x2="${at(scale(tick))}" y2="${at(bandsBottom)}" stroke="#bbb" stroke-width="1"/>`,
    );

  for (const [row, bore] of bores.entries()) {
    const top = bandsTop + row * ROW;
    const firing = fires.get(bore) ?? Rational.zero;
    drawn.push(
      textAt(16, top + 15, `Bore ${bore}`, { size: TEXT, bold: true }),
      textAt(16, top + 29, `fires at ${writeAngle(firing)}`, { size: 11 }),
      markup`<rect x="${LEFT}" y="${at(top + 5)}" width="${CHART}" height="${ROW - 10}" fill="#fff" stroke="#000" stroke-width="1"/>`,
    );
    const begins = numberOf(firing.minus(phasing.offBase.from).mod(phasing.cycle));
    const span = numberOf(phasing.offBase.from.plus(phasing.offBase.until));
    for (const [from, to] of pieces(begins, span, cycle))
      drawn.push(
        markup`<rect x="${at(scale(from))}" y="${at(top + 5)}" width="${at(scale(to) - scale(from))}" height="${ROW - 10}" fill="url(#lobe)" stroke="#000" stroke-width="1.5"/>`,
      );
    const x = scale(numberOf(firing));
    drawn.push(
      markup`<path d="M${at(x - 7)} ${at(top - 4)}h14l-7 12z" fill="#000" stroke="#fff" stroke-width="1"/>`,
    );
  }

  for (const stop of stops) {
    const x = at(scale(stop.degrees));
    drawn.push(
      markup`<line x1="${x}" y1="${at(laneTop + 20)}" x2="${x}" y2="${at(turnsBottom)}" stroke="#000" stroke-width="${stop.used ? '1.8' : '1'}" stroke-dasharray="${stop.used ? '7 3' : '2 4'}"/>`,
    );
  }
  for (const tick of ticks) {
    const half = textWidth(`${tick}°`, SMALL) / 2 + 2;
    drawn.push(
      markup`<rect x="${at(scale(tick) - half)}" y="${at(scaleLine - SMALL)}" width="${at(half * 2)}" height="15" fill="#fff"/>`,
      textAt(scale(tick), scaleLine, `${tick}°`, { size: SMALL, anchor: 'middle' }),
    );
  }
  for (const mark of marksOf(crank)) {
    const x = at(scale(mark.degrees));
    drawn.push(
      markup`<line x1="${x}" y1="${at(bandsTop - 6)}" x2="${x}" y2="${at(bandsTop)}" stroke="#000" stroke-width="2.5"/>`,
    );
  }
  for (const { x, half, lane, text, stop } of placed) {
    const top = laneTop + lane * 24;
    drawn.push(
      stop
        ? markup`<rect x="${at(x - half)}" y="${at(top)}" width="${at(half * 2)}" height="20" fill="#000"/>`
        : markup`<rect x="${at(x - half)}" y="${at(top)}" width="${at(half * 2)}" height="20" rx="10" fill="#fff" stroke="#000" stroke-width="1.5"/>`,
      textAt(x, top + 14.5, text, {
        size: SMALL,
        bold: true,
        anchor: 'middle',
        fill: stop ? '#fff' : '#000',
      }),
    );
  }

  // Where each bore is worked on, with its number in the order and its margin.
  for (const [row, bore] of bores.entries()) {
    const visit = served.get(bore);
    if (visit === undefined) continue;
    const middle = bandsTop + row * ROW + ROW / 2;
    const x = scale(visit.degrees);
    const words = `margin ${writeAngle(visit.margin)}`;
    const width = textWidth(words, 11) + 6;
    const isLeft = x + 16 + width > RIGHT;
    const from = isLeft ? x - 16 - width : x + 16;
    drawn.push(
      markup`<rect x="${at(from)}" y="${at(middle - 8)}" width="${at(width)}" height="16" fill="#fff"/>`,
      textAt(from + 3, middle + 4, words, { size: 11 }),
      markup`<circle cx="${at(x)}" cy="${at(middle)}" r="10" fill="#fff" stroke="#000" stroke-width="2.5"/>`,
      textAt(x, middle + 4.5, String(visit.number), { size: TEXT, bold: true, anchor: 'middle' }),
    );
  }

  // The turns, one below the other, on the same scale.
  let turnTop = turnsTop;
  if (turns.length > 0) drawn.push(textAt(16, turnsTop - 8, 'Turns, in order', { size: TEXT, bold: true }));
  for (const [index, { leg, lines }] of turns.entries()) {
    const height = turnHeights[index] ?? ROW;
    const middle = turnTop + ROW / 2;
    drawn.push(
      textAt(16, turnTop + 15, `Turn ${index + 1}`, { size: TEXT, bold: true }),
      textAt(16, turnTop + 29, `by ${leg.by}`, { size: SMALL }),
      ...arrows(leg.from, leg.turn, cycle).map(([from, to, isLast], piece) =>
        arrow(scale(from), scale(to), middle, { isFirst: piece === 0, isLast }),
      ),
      ...linesAt(RIGHT + 12, turnTop + 15, lines, { size: SMALL }),
    );
    turnTop += height;
  }

  y = turnsBottom + 22;
  // The key.
  const key = (sign: Markup, words: string): void => {
    const lines = textLines(words, WIDTH - LEFT - 30, SMALL);
    drawn.push(markup`<g transform="translate(0 ${at(y)})">${sign}</g>`);
    drawn.push(...linesAt(LEFT, y + 13, lines, { size: SMALL }));
    y += Math.max(24, lines.length * lineHeight(SMALL) + 8);
  };
  key(
    markup`<rect x="60" y="0" width="50" height="18" fill="url(#lobe)" stroke="#000" stroke-width="1.5"/>`,
    `Off the base circle, from ${fromTdc(phasing.offBase.from.negated())} to ${fromTdc(phasing.offBase.until)} the firing TDC of the bore, read round the end of the cycle: its follower is on the lobe.`,
  );
  key(
    markup`<rect x="60" y="0" width="50" height="18" fill="#fff" stroke="#000"/>`,
    'On the base circle. The margin is the way, in degrees, to the nearer end of the hatched span.',
  );
  key(markup`<path d="M78 2h14l-7 13z" fill="#000"/>`, 'Firing TDC of the bore.');
  if (served.size > 0)
    key(
      markup`<circle cx="85" cy="9" r="10" fill="#fff" stroke="#000" stroke-width="2.5"/>${textAt(85, 13.5, 'n', { size: SMALL, bold: true, anchor: 'middle' })}`,
      'The bore is worked on here, as the n-th in the order.',
    );
  for (const mark of marksOf(crank))
    key(
      markup`<rect x="70" y="0" width="30" height="20" rx="10" fill="#fff" stroke="#000" stroke-width="1.5"/>${textAt(85, 14.5, mark.sign, { size: SMALL, bold: true, anchor: 'middle' })}`,
      `Mark at ${writeAngle(mark.at)}: ${mark.title}.${crank.rotation?.start.equals(mark.at) === true ? ' The rotation plan starts here.' : ''}`,
    );
  for (const stop of stops)
    key(
      markup`<rect x="70" y="0" width="30" height="20" fill="#000"/>${textAt(85, 14.5, stop.letter, { size: SMALL, bold: true, anchor: 'middle', fill: '#fff' })}`,
      `Stop at ${writeAngle(stop.at)}, held by ${stop.heldBy}.${stop.used ? '' : ' The plan does not use it.'}`,
    );
  if (crank.rotation !== undefined) {
    const accuracy =
      crank.accuracy === undefined ? '' : ` The crank may stand ${writeAngle(crank.accuracy)} off a stop.`;
    write(
      `Turned in all ${writeAngle(crank.rotation.total)}, in the running direction only. Least margin ${writeAngle(crank.rotation.leastMargin)}.${accuracy}`,
      TEXT,
      true,
    );
  } else write('No rotation is planned for this variant.', TEXT);
  if (about.heading !== undefined) write(deferral, SMALL);
  const defs = markup`<defs><pattern id="lobe" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="7" height="7" fill="#e4e4e4"/><line x1="0" y1="0" x2="0" y2="7" stroke="#444" stroke-width="2.4"/></pattern></defs>`;
  return picture(
    'crank',
    { width: WIDTH, height: y + 12 },
    `Crank of the ${variant.title}`,
    describe(variant, legs),
    [defs, ...drawn],
  );
}

const numberOf = (value: Rational): number => Number(value.toDecimal(3));

/** An angle from a dead centre: `70° before`, `250° after`. */
const fromTdc = (angle: Rational): string =>
  `${writeAngle(angle.abs())} ${angle.sign < 0 ? 'before' : 'after'}`;

interface DrawnStop {
  readonly at: Rational;
  readonly degrees: number;
  readonly heldBy: string;
  readonly letter: string;
  readonly used: boolean;
}

/** More stops than this are not drawn unless the plan uses them. */
const MOST_UNUSED = 12;

function stopsOf(crank: PlanCrank): readonly DrawnStop[] {
  const used = (position: Rational): boolean =>
    crank.rotation?.stops.some((stop) => stop.position.equals(position)) === true;
  const held = crank.positions.filter((one) => one.heldBy !== undefined);
  return held
    .filter((one) => held.length <= MOST_UNUSED || used(one.at))
    .map((one, index) => ({
      at: one.at,
      degrees: numberOf(one.at),
      heldBy: one.heldBy ?? '',
      letter: letterOf(index),
      used: used(one.at),
    }));
}

/** A to Z, then AA and on. */
const letterOf = (index: number): string =>
  (index >= 26 ? letterOf(Math.floor(index / 26) - 1) : '') + String.fromCharCode(65 + (index % 26));

const marksOf = (crank: PlanCrank) =>
  crank.positions
    .filter((one) => one.mark !== undefined)
    .map((one, index) => ({
      at: one.at,
      degrees: numberOf(one.at),
      title: one.title,
      sign: `M${index + 1}`,
    }));

/** For each bore that is visited: where, as the how many-th, and with what margin. */
function servedBy(crank: PlanCrank) {
  const visits = (crank.rotation?.stops ?? []).flatMap((stop) =>
    stop.margins.map(({ bore, margin }) => ({ bore, margin, degrees: numberOf(stop.position) })),
  );
  return new Map(visits.map((visit, index) => [visit.bore, { ...visit, number: index + 1 }]));
}

interface Leg {
  readonly from: number;
  readonly turn: number;
  readonly by: string;
  /** To where, and which bores are worked on there. */
  readonly leads: readonly [string, string];
}

function legsOf(crank: PlanCrank, stops: readonly DrawnStop[]): readonly Leg[] {
  let from = crank.rotation?.start ?? Rational.zero;
  return (crank.rotation?.stops ?? []).map((stop) => {
    const letter = stops.find((one) => one.at.equals(stop.position))?.letter ?? '';
    const leg = {
      from: numberOf(from),
      turn: numberOf(stop.rotation),
      by: writeAngle(stop.rotation),
      leads: [
        `to ${letter}, ${writeAngle(stop.position)}`,
        `${stop.bores.length === 1 ? 'bore' : 'bores'} ${stop.bores.join(', ')}`,
      ] as const,
    };
    from = stop.position;
    return leg;
  });
}

/** A span that may run over the end of the cycle, in the pieces that are drawn. */
function pieces(from: number, length: number, cycle: number): readonly (readonly [number, number])[] {
  const to = from + length;
  if (length <= 0) return [];
  return to <= cycle
    ? [[from, to]]
    : [
        [from, cycle],
        [0, to - cycle],
      ];
}

/** A turn in the pieces that are drawn; it ends in the last one. */
function arrows(from: number, turn: number, cycle: number): readonly (readonly [number, number, boolean])[] {
  const found = pieces(from, turn, cycle).filter(([a, b]) => b > a);
  return found.length === 0
    ? // A whole cycle that ends where the scale begins.
      [[0, 0, true]]
    : found.map(([a, b], index) => [a, b, index === found.length - 1] as const);
}

function arrow(
  from: number,
  to: number,
  y: number,
  piece: { readonly isFirst: boolean; readonly isLast: boolean },
): Markup {
  const head = piece.isLast ? markup`<path d="M${at(to)} ${at(y)}l-12 -6v12z" fill="#000"/>` : undefined;
  const start = piece.isFirst
    ? markup`<circle cx="${at(from)}" cy="${at(y)}" r="4.5" fill="#fff" stroke="#000" stroke-width="2"/>`
    : undefined;
  const more = piece.isLast
    ? undefined
    : markup`<path d="M${at(to)} ${at(y)}l-7 -6m7 6l-7 6" fill="none" stroke="#000" stroke-width="2"/>`;
  const end = piece.isLast ? Math.max(from, to - 10) : to;
  return markup`<line x1="${at(from)}" y1="${at(y)}" x2="${at(end)}" y2="${at(y)}" stroke="#000" stroke-width="3"/>${start}${more}${head}`;
}

function describe(variant: ResolvedVariant, legs: readonly Leg[]): string {
  const { phasing, crank } = variant;
  if (phasing === undefined) return '';
  const fires = firingAngles(phasing);
  const bands = variant.bores.map(
    (bore) => `Bore ${bore} fires at ${writeAngle(fires.get(bore) ?? Rational.zero)}.`,
  );
  const start = crank.positions.find((one) => crank.rotation?.start.equals(one.at) === true)?.title;
  const turns = legs.map((leg) => `Turn by ${leg.by} ${leg.leads.join(': ')}.`);
  const free = crank.positions
    .filter((one) => one.heldBy !== undefined)
    .map((one) => {
      const on = variant.bores.filter((bore) => followerAt(phasing, bore, one.at)?.onBaseCircle === true);
      return `At ${writeAngle(one.at)} on the base circle: ${on.length === 0 ? 'none' : on.join(', ')}.`;
    });
  return [...bands, ...free, ...(start === undefined ? [] : [`The plan starts at ${start}.`]), ...turns].join(
    ' ',
  );
}
