import type { Pack, Plan } from '@ferrule/engine';
import type { PictureHeading } from '../crank-picture.ts';
import { deferral } from '../deferral.ts';
import { at, lineHeight, linesAt, picture, textAt } from '../drawing.ts';
import { type Markup, markup } from '../markup.ts';
import { Holds } from '../sheet/holds.ts';
import { textLines, textWidth } from '../text-width.ts';
import { type Drawn, layOutPanel } from './lay-out-panel.ts';
import { Marks, type ProofMarks } from './marks.ts';
import { panelsOf } from './panel.ts';
import { type Known, PanelWriter, releaseWords } from './panel-graph.ts';
import { drawShape } from './shapes.ts';
import { oneText, type Piece, writtenLevel } from './written-level.ts';

/** Width to height of a sheet on the wall, as of every sheet of ISO 216 that lies on its side. */
const ASPECT = Math.SQRT2;
const GAP = 34;
const MARGIN = 28;
const HEAD = 30;

/**
 * A procedure for one variant as a picture, at the level at which it is written: steps from the top down, loops and blocks
 * as frames, choices, reworks with their way back, holds with their releases; and what the proof found, each place with a
 * word, and the way there. Panels follow one another down each column. Pure SVG, in black on white.
 */
export function procedureGraph(plan: Plan, pack: Pack, proof: ProofMarks | undefined): string {
  const pieces = writtenLevel(plan, pack);
  const numbers = numbersOf(pieces);
  const marks = new Marks(plan, proof ?? { refutations: [], unreached: [], isCutShort: false });
  const known: Known = {
    plan,
    pack,
    marks,
    holds: new Holds(plan),
    numberOf: (node) => {
      const end = plan.nodes[node]?.end ?? node;
      for (let one = node; one < end; one++) {
        const number = numbers.get(one);
        if (number !== undefined) return number;
      }
      return undefined;
    },
  };
  const panels = panelsOf(pieces, plan.procedure.title).map((panel, index, all) => {
    const graph = new PanelWriter(known).write(panel.pieces, {
      isFirst: index === 0,
      isLast: index === all.length - 1,
    });
    const drawn = layOutPanel(graph.boxes, graph.frames, graph.arrows);
    const heading = `${all.length > 1 ? `${index + 1}  ` : ''}${panel.title}`;
    const width = Math.max(drawn.width, 300);
    const lines = textLines(heading, width - 16, 14);
    return { drawn, lines, width, height: drawn.height + HEAD + lines.length * lineHeight(14) };
  });
  const columns = inColumns(panels);
  const { overlay } = plan.pack;
  const heading: PictureHeading = {
    pack: `${plan.pack.title}, ${plan.pack.id} ${plan.pack.revision}${overlay === undefined ? '' : ` with overlay ${overlay.id} ${overlay.revision}`}`,
    ...(plan.pack.notice === undefined ? {} : { notice: plan.pack.notice }),
  };
  const inside = columns.reduce((sum, column) => sum + column.width + GAP, -GAP);
  const width = Math.max(inside, 760) + MARGIN * 2;
  const top = head(plan, heading, width, proof, marks);
  let x = MARGIN;
  let bottom = top.height;
  const content: Markup[] = [arrowHeads, ...top.content];
  for (const column of columns) {
    let y = top.height;
    for (const panel of column.panels) {
      content.push(drawPanel(panel, x, y, column.width));
      y += panel.height + GAP;
    }
    bottom = Math.max(bottom, y);
    x += column.width + GAP;
  }
  const foot = key(known, width, bottom);
  return picture(
    'procedure',
    { width, height: foot.height },
    `${plan.procedure.title}: ${plan.variant.title}`,
    describe(pieces, marks),
    [...content, ...foot.content],
  ).toString();
}

interface PanelDrawn {
  readonly drawn: Drawn;
  readonly lines: readonly string[];
  readonly width: number;
  readonly height: number;
}

interface Column {
  readonly panels: readonly PanelDrawn[];
  readonly width: number;
}

/** Panels in columns, so many that the whole comes near the shape of a sheet. */
function inColumns(panels: readonly PanelDrawn[]): readonly Column[] {
  const total = panels.reduce((sum, panel) => sum + panel.height + GAP, 0);
  const tallest = Math.max(...panels.map((panel) => panel.height + GAP));
  let best: readonly Column[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (let count = 1; count <= Math.min(12, panels.length); count++) {
    const columns = filled(panels, Math.max(tallest, (total / count) * 1.08));
    const width = columns.reduce((sum, column) => sum + column.width + GAP, 0);
    const height = Math.max(
      ...columns.map((column) => column.panels.reduce((sum, panel) => sum + panel.height + GAP, 0)),
    );
    const off = Math.abs(Math.log(width / height / ASPECT));
    if (off < least) {
      least = off;
      best = columns;
    }
  }
  return best;
}

function filled(panels: readonly PanelDrawn[], most: number): readonly Column[] {
  const columns: { panels: PanelDrawn[]; width: number; height: number }[] = [];
  for (const panel of panels) {
    const last = columns.at(-1);
    if (last !== undefined && last.height + panel.height + GAP <= most) {
      last.panels.push(panel);
      last.width = Math.max(last.width, panel.width);
      last.height += panel.height + GAP;
    } else columns.push({ panels: [panel], width: panel.width, height: panel.height + GAP });
  }
  return columns;
}

/** The number of each node of the plan in the picture. */
function numbersOf(pieces: readonly Piece[]): ReadonlyMap<number, number> {
  const numbers = new Map<number, number>();
  const visit = (piece: Piece): void => {
    switch (piece.piece) {
      case 'step':
        for (const step of piece.steps) numbers.set(step.index, piece.number);
        break;
      case 'hold':
        for (const node of piece.nodes) numbers.set(node.index, piece.number);
        break;
      case 'frame':
        piece.inside.forEach(visit);
        break;
      case 'choice':
        for (const one of piece.cases) one.inside.forEach(visit);
    }
  };
  pieces.forEach(visit);
  return numbers;
}

const arrowHeads = markup`<defs><marker id="head" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="7" markerHeight="7" orient="auto-start-reverse" markerUnits="userSpaceOnUse"><path d="M0 0l10 5-10 5z" fill="#000"/></marker></defs>`;

function drawPanel(panel: PanelDrawn, x: number, y: number, width: number): Markup {
  const { drawn, lines } = panel;
  const top = lines.length * lineHeight(14) + 14;
  const frames = [...drawn.frames].map(
    (frame) =>
      markup`<rect x="${at(frame.x - 4)}" y="${at(frame.y - 4)}" width="${at(frame.width + 8)}" height="${at(frame.height + 8)}" rx="6" fill="none" stroke="#000" stroke-width="1.6" stroke-dasharray="9 4"/>`,
  );
  const arrows = drawn.arrows.map(({ arrow, points }) => {
    const path = points
      .map((point, index) => `${index === 0 ? 'M' : 'L'}${at(point.x)} ${at(point.y)}`)
      .join('');
    const dash =
      arrow.kind === 'back' || arrow.kind === 'round'
        ? markup` stroke-dasharray="6 3"`
        : arrow.kind === 'past'
          ? markup` stroke-dasharray="2 3"`
          : undefined;
    return markup`<path d="${path}" fill="none" stroke="#000" stroke-width="${arrow.thick === true ? '4.5' : '1.3'}"${dash} marker-end="url(#head)"/>`;
  });
  const labels = drawn.arrows.flatMap(({ arrow, points }) => {
    const middle = middleOf(points);
    if (arrow.label === undefined || middle === undefined) return [];
    const half = textWidth(arrow.label, 10) / 2 + 2;
    return [
      markup`<rect x="${at(middle.x - half)}" y="${at(middle.y - 7)}" width="${at(half * 2)}" height="13" fill="#fff"/>`,
      textAt(middle.x, middle.y + 3, arrow.label, { size: 10, anchor: 'middle' }),
    ];
  });
  const inset = (width - drawn.width) / 2;
  return markup`<g transform="translate(${at(x)} ${at(y)})"><rect width="${at(width)}" height="${at(panel.height)}" fill="none" stroke="#888" stroke-width="1"/><rect width="${at(width)}" height="${at(top - 6)}" fill="#000"/>${lines.map(
    (line, index) => textAt(8, 16 + index * lineHeight(14), line, { size: 14, bold: true, fill: '#fff' }),
  )}<g transform="translate(${at(inset)} ${at(top)})">${frames}${arrows}${drawn.boxes.map(({ box, x: left, y: down }) => drawShape(box.shape, left, down))}${labels}</g></g>
`;
}

/** The middle of a line by its length. */
function middleOf(points: readonly { readonly x: number; readonly y: number }[]) {
  const lengths = points.slice(1).map((point, index) => {
    const before = points[index] ?? point;
    return Math.hypot(point.x - before.x, point.y - before.y);
  });
  let rest = lengths.reduce((sum, one) => sum + one, 0) / 2;
  for (const [index, length] of lengths.entries()) {
    const from = points[index];
    const to = points[index + 1];
    if (from === undefined || to === undefined) continue;
    if (rest <= length) {
      const part = length === 0 ? 0 : rest / length;
      return { x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part };
    }
    rest -= length;
  }
  return points[0];
}

function head(
  plan: Plan,
  heading: PictureHeading,
  width: number,
  proof: ProofMarks | undefined,
  marks: Marks,
) {
  const content: Markup[] = [];
  let y = MARGIN;
  const write = (text: string, size: number, bold = false): void => {
    const lines = textLines(text, width - MARGIN * 2, size);
    content.push(...linesAt(MARGIN, y + size, lines, { size, bold }));
    y += lines.length * lineHeight(size) + 4;
  };
  write(`${plan.procedure.title}: ${plan.variant.title}`, 26, true);
  write(heading.pack, 14);
  if (heading.notice !== undefined) write(`NOTICE: ${heading.notice}`, 12);
  write(deferral, 12);
  if (proof === undefined) write('Not proved.', 14, true);
  else if (marks.says.length === 0)
    write(
      marks.isCutShort
        ? 'The proof was cut short before it had seen everything.'
        : 'The proof refuted nothing of what the pack models: its states, its laws and its steps. It is no proof of anything else.',
      14,
      true,
    );
  for (const [index, says] of marks.says.entries()) {
    const letter = marks.letters[index];
    write(
      `✗ ${index + 1}. ${says}${letter === undefined ? '' : ` The way there is marked ${letter}1, ${letter}2 and on.`}`,
      14,
      true,
    );
  }
  return { content, height: y + 16 };
}

/** The key: what the shapes mean, and the words of the holds. */
function key(known: Known, width: number, top: number) {
  const content: Markup[] = [];
  let y = top;
  const write = (text: string, bold = false): void => {
    const lines = textLines(text, width - MARGIN * 2, 12);
    content.push(...linesAt(MARGIN, y + 12, lines, { size: 12, bold }));
    y += lines.length * lineHeight(12) + 3;
  };
  write(
    'Read each panel from the top down, and the panels in the order of their numbers. A dashed frame is a loop or a part with a condition; N stands for the number of its bore. Grey boxes are rework, boxes with a double line are holds, dashed arrows lead back to what is done again. A thick outline lies on the way to where the proof failed; a dashed outline is not reached.',
  );
  for (const { label, holds } of known.holds.all) {
    const [first] = holds;
    const ways = (first?.releases ?? []).map((way) => releaseWords(known, way)).join('; ');
    write(
      `${label}${first?.safety === true ? ' (safety)' : ''}: ${oneText(holds.map((one) => one.text))}${ways === '' ? '' : ` Ways on: ${ways}.`}`,
    );
  }
  return { content, height: y + MARGIN };
}

function describe(pieces: readonly Piece[], marks: Marks): string {
  const words = (piece: Piece): readonly string[] => {
    switch (piece.piece) {
      case 'step': {
        const nodes = piece.steps.map((step) => step.index);
        const failed = marks.failedAt(nodes);
        return [
          `${piece.number}. ${piece.says}${failed.length === 0 ? '' : ` The proof failed here: ${failed.join(', ')}.`}${marks.isUnreached(nodes) ? ' Not reached.' : ''}`,
        ];
      }
      case 'hold':
        return [`${piece.number}. Hold point.`];
      case 'frame':
        return [`${piece.title} ${piece.over ?? ''}:`.trim(), ...piece.inside.flatMap(words)];
      case 'choice':
        return piece.cases.flatMap((one) => [`If ${one.when}:`, ...one.inside.flatMap(words)]);
    }
  };
  return pieces.flatMap(words).join(' ');
}
