import { at, lineHeight, textAt } from '../drawing.ts';
import { type Markup, markup } from '../markup.ts';
import { textLines } from '../text-width.ts';

export const BOX = 232;
const SIZE = 11.5;
const PAD = 8;

export interface Line {
  readonly text: string;
  readonly bold?: boolean;
  readonly italic?: boolean;
  /** White on black, over the whole width. */
  readonly bar?: boolean;
}

export interface Shape {
  readonly lines: readonly Line[];
  readonly width: number;
  readonly height: number;
  readonly look: 'step' | 'rework' | 'hold' | 'head' | 'choice' | 'end';
  readonly thick: boolean;
  readonly dashed: boolean;
}

/** A shape that holds the texts, each wrapped. */
export function shapeOf(
  look: Shape['look'],
  texts: readonly Line[],
  more: { readonly thick?: boolean; readonly dashed?: boolean; readonly width?: number } = {},
): Shape {
  const width = more.width ?? BOX;
  const inside = width - PAD * (look === 'choice' || look === 'hold' ? 4 : 2);
  const lines = texts.flatMap((line) =>
    textLines(line.text, line.bold === true || line.bar === true ? inside * 0.92 : inside, SIZE).map(
      (text) => ({ ...line, text }),
    ),
  );
  return {
    lines,
    width,
    height: lines.length * lineHeight(SIZE) + PAD * 1.5,
    look,
    thick: more.thick ?? false,
    dashed: more.dashed ?? false,
  };
}

/** Draws a shape with its middle at the place. */
export function drawShape(shape: Shape, x: number, y: number): Markup {
  const { width, height, look, thick, dashed } = shape;
  const left = x - width / 2;
  const top = y - height / 2;
  const stroke = thick ? '4' : '1.3';
  const dash = dashed ? markup` stroke-dasharray="5 4"` : undefined;
  const box = (inset: number, rx: number, fill: string): Markup =>
    markup`<rect x="${at(left + inset)}" y="${at(top + inset)}" width="${at(width - inset * 2)}" height="${at(height - inset * 2)}" rx="${rx}" fill="${fill}" stroke="#000" stroke-width="${inset > 0 ? '1' : stroke}"${dash}/>`;
  const outline = (): readonly Markup[] => {
    switch (look) {
      case 'step':
        return [box(0, 3, '#fff')];
      case 'rework':
        return [box(0, 3, '#f0f0f0')];
      case 'hold':
        return [box(0, 0, '#fff'), box(3.5, 0, '#fff')];
      case 'head':
        return [box(0, 0, '#e2e2e2')];
      case 'end':
        return [box(0, 13, '#fff')];
      case 'choice': {
        const cut = 14;
        return [
          markup`<path d="M${at(left + cut)} ${at(top)}h${at(width - cut * 2)}l${cut} ${at(height / 2)}l${-cut} ${at(height / 2)}h${at(-(width - cut * 2))}l${-cut} ${at(-height / 2)}z" fill="#fff" stroke="#000" stroke-width="${stroke}"${dash}/>`,
        ];
      }
    }
  };
  const from = left + PAD * (look === 'choice' || look === 'hold' ? 2 : 1);
  return markup`${outline()}${shape.lines.map((line, index) => {
    const base = top + PAD * 0.6 + (index + 0.8) * lineHeight(SIZE);
    const bar =
      line.bar === true
        ? markup`<rect x="${at(left)}" y="${at(base - SIZE)}" width="${at(width)}" height="${lineHeight(SIZE)}" fill="#000"/>`
        : undefined;
    const style = {
      size: SIZE,
      bold: line.bold === true || line.bar === true,
      fill: line.bar === true ? '#fff' : '#000',
    };
    const text = textAt(from, base, line.text, style);
    return markup`${bar}${line.italic === true ? markup`<g font-style="italic">${text}</g>` : text}`;
  })}`;
}
