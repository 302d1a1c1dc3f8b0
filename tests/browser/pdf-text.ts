import { inflateSync } from 'node:zlib';

/**
 * The text of each page of a PDF as Chromium writes it (ISO 32000-1: objects in the open, streams deflated, fonts with a
 * ToUnicode map), without white space. It reads no other PDF.
 */
export function pdfPages(pdf: Uint8Array): readonly string[] {
  const source = Buffer.from(pdf).toString('latin1');
  const objects = new Map<string, string>();
  for (const [, id = '', body = ''] of source.matchAll(/(?:^|\n)(\d+) 0 obj\b([\s\S]*?)\nendobj/g))
    objects.set(id, body);
  const streamOf = (id: string): string => {
    const body = objects.get(id) ?? '';
    const start = /stream\r?\n/.exec(body);
    if (start === null) return '';
    const from = start.index + start[0].length;
    // The stream may end in what looks like a line break: its stated length says where it ends.
    const [, length] = /\/Length (\d+)\b(?! 0 R)/.exec(body) ?? [];
    const end = length === undefined ? body.lastIndexOf('\nendstream') : from + Number(length);
    const text = body.slice(from, end);
    const bytes = Buffer.from(text, 'latin1');
    return body.includes('/FlateDecode') ? inflateSync(bytes).toString('latin1') : text;
  };
  const maps = new Map<string, ReadonlyMap<number, string>>();
  const mapOf = (font: string): ReadonlyMap<number, string> => {
    const known = maps.get(font);
    if (known !== undefined) return known;
    const [, id = ''] = /\/ToUnicode (\d+) 0 R/.exec(objects.get(font) ?? '') ?? [];
    const made = unicodeMap(streamOf(id));
    maps.set(font, made);
    return made;
  };
  const pages: string[] = [];
  for (const body of objects.values()) {
    if (!/\/Type\s*\/Page\b/.test(body)) continue;
    const [, contents = ''] = /\/Contents (\d+) 0 R/.exec(body) ?? [];
    const [, resources] = /\/Resources (\d+) 0 R/.exec(body) ?? [];
    const fonts = new Map<string, string>();
    const where = resources === undefined ? body : (objects.get(resources) ?? '');
    for (const [, name = '', id = ''] of where.matchAll(/\/(F\d+) (\d+) 0 R/g)) fonts.set(name, id);
    let text = '';
    let font: ReadonlyMap<number, string> = new Map();
    for (const [, name, codes] of streamOf(contents).matchAll(/\/(F\d+) [\d.]+ Tf|<([0-9A-Fa-f]+)>/g)) {
      if (name !== undefined) font = mapOf(fonts.get(name) ?? '');
      for (const [code] of (codes ?? '').matchAll(/.{4}/g)) text += font.get(Number.parseInt(code, 16)) ?? '';
    }
    // Ligatures come as signs of their own.
    pages.push(text.normalize('NFKC').replace(/\s+/g, ''));
  }
  return pages;
}

/** Glyph codes to texts, from a CMap. */
function unicodeMap(cmap: string): ReadonlyMap<number, string> {
  const map = new Map<number, string>();
  const textOf = (hex: string): string =>
    String.fromCharCode(...[...hex.matchAll(/.{4}/g)].map(([unit]) => Number.parseInt(unit, 16)));
  for (const [, lines = ''] of cmap.matchAll(/beginbfchar([\s\S]*?)endbfchar/g))
    for (const [, code = '', text = ''] of lines.matchAll(/<(\w+)>\s*<(\w+)>/g))
      map.set(Number.parseInt(code, 16), textOf(text));
  for (const [, lines = ''] of cmap.matchAll(/beginbfrange([\s\S]*?)endbfrange/g))
    for (const [, from = '', to = '', text = ''] of lines.matchAll(/<(\w+)>\s*<(\w+)>\s*<(\w+)>/g)) {
      const first = Number.parseInt(from, 16);
      const last = Number.parseInt(to, 16);
      for (let code = first; code <= last; code++)
        map.set(
          code,
          textOf(text.slice(0, -4)) + String.fromCharCode(Number.parseInt(text.slice(-4), 16) + code - first),
        );
    }
  return map;
}
