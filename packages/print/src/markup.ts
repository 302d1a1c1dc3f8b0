/** Text that is markup already. Everything else is escaped where it is put in. */
export class Markup {
  readonly #text: string;

  private constructor(text: string) {
    this.#text = text;
  }

  toString(): string {
    return this.#text;
  }

  /** Only for the template below, and for text of our own such as a style sheet. */
  static trusted(text: string): Markup {
    return new Markup(text);
  }
}

export type Insert = string | number | Markup | undefined | readonly Insert[];

/**
 * Control characters and the signs that turn the direction of a text about: they could hide what is said, or show it in
 * another order.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be found
const UNPRINTABLE = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u2028-\u202e\u2066-\u2069\ufffe\uffff]/g;

/** Half of a pair that stands alone has no form in UTF-8. */
const LONE_HALF = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

const entities: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
  '`': '&#96;',
};

/** A text as it stands in HTML and in XML, between tags or in a quoted attribute. */
const escaped = (text: string): string =>
  text
    .replace(UNPRINTABLE, '\ufffd')
    .replace(LONE_HALF, '\ufffd')
    .replace(/[&<>"'`]/g, (sign) => entities[sign] ?? sign);

function put(value: Insert): string {
  if (value === undefined) return '';
  if (value instanceof Markup) return value.toString();
  if (typeof value === 'object') return value.map(put).join('');
  return escaped(String(value));
}

/**
 * A piece of HTML or SVG. What is put in is escaped unless it is a piece itself; lists are put in one after the other and
 * `undefined` as nothing. Attributes have to stand in quotes.
 */
export function markup(parts: TemplateStringsArray, ...values: readonly Insert[]): Markup {
  let text = parts[0] ?? '';
  values.forEach((value, index) => {
    text += put(value) + (parts[index + 1] ?? '');
  });
  return Markup.trusted(text);
}
