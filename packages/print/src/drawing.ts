import { type Insert, type Markup, markup } from './markup.ts';

/** The face of every picture: whatever the reader has, without serifs. */
const FACE = 'Arial, Helvetica, "Liberation Sans", "DejaVu Sans", sans-serif';

/** A number as it stands in a picture. */
export const at = (value: number): string => String(Math.round(value * 10) / 10);

export interface TextStyle {
  readonly size: number;
  readonly bold?: boolean;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly fill?: string;
  /** White around the letters, where they may stand on lines. */
  readonly isOnLines?: true;
}

/** A line of text, with its base line at `y`. */
export const textAt = (x: number, y: number, text: string, style: TextStyle): Markup =>
  markup`<text x="${at(x)}" y="${at(y)}" font-size="${style.size}" text-anchor="${style.anchor ?? 'start'}"${
    style.bold === true ? markup` font-weight="bold"` : undefined
  }${
    style.isOnLines === true
      ? markup` stroke="#fff" stroke-width="3" stroke-linejoin="round" paint-order="stroke"`
      : undefined
  } fill="${style.fill ?? '#000'}">${text}</text>`;

/** Lines below one another; the first one's base line is at `y`. */
export const linesAt = (
  x: number,
  y: number,
  lines: readonly string[],
  style: TextStyle,
): readonly Markup[] =>
  lines.map((line, index) => textAt(x, y + index * lineHeight(style.size), line, style));

export const lineHeight = (size: number): number => Math.round(size * 1.3);

/** A picture on white, with what a screen reader says of it. `name` keeps the ids of several pictures on a page apart. */
export const picture = (
  name: string,
  size: { readonly width: number; readonly height: number },
  title: string,
  description: string,
  content: Insert,
): Markup => {
  const width = Math.ceil(size.width);
  const height = Math.ceil(size.height);
  return markup`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-labelledby="${name}-title ${name}-description" font-family="${FACE}">
<title id="${name}-title">${title}</title>
<desc id="${name}-description">${description}</desc>
<rect width="${width}" height="${height}" fill="#fff"/>
${content}
</svg>
`;
};
