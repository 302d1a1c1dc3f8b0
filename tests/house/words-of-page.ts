import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { transform } from 'esbuild';

/** What a person presses, opens, fills in or reads as a heading. */
const labelled = 'button|summary|legend|h1|h2|h3|a|label|option';
/** Pieces of the page that make such an element of what stands in them. */
const labelling = 'PaperLink|FileButton';
const call = new RegExp(`\\bjsxs?\\((?:"(?:${labelled})"|(?:${labelling})), \\{`, 'g');

/** Every text that stands in the sources of the page, and not in a pack, as a label or a heading. */
export async function labelsOfPage(folder: string): Promise<ReadonlySet<string>> {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
  const all = await Promise.all(
    files.map(async (file) => {
      const { code } = await transform(readFileSync(file, 'utf8'), {
        loader: file.endsWith('x') ? 'tsx' : 'ts',
        jsx: 'automatic',
        jsxImportSource: 'preact',
        charset: 'utf8',
      });
      return labelsIn(code);
    }),
  );
  return new Set(all.flat());
}

/** What choices, marks and the like are called, by what they are. */
const called = /\b(?:const|let|var) (?:\w+W|w)ords = \{/g;

const labelsCalled = (code: string): readonly string[] =>
  [...code.matchAll(called)].flatMap(({ index, 0: { length } }) =>
    [...code.slice(index + length, endOf(code, index + length)).matchAll(values)].flatMap(([, text = '']) =>
      asLabel(text),
    ),
  );
const values = /: "((?:[^"\\]|\\.)*)"/g;

/** What a component shows as a label, a heading or on its button, handed to it as a text. */
const handed = /[{,]\s*(?:label|title|action|says): /g;
const texts = /"((?:[^"\\]|\\.)*)"|`((?:[^`\\]|\\.)*)`/g;

/** The texts right inside the elements that bear labels, and those handed to components, in code that esbuild made of JSX. */
export function labelsIn(code: string): readonly string[] {
  return [...labelsInside(code), ...labelsHanded(code), ...labelsCalled(code)];
}

const labelsHanded = (code: string): readonly string[] =>
  [...code.matchAll(handed)].flatMap(({ index, 0: { length } }) =>
    [...code.slice(index + length, endOf(code, index + length, ',')).matchAll(texts)].flatMap(
      ([, text, template = '']) =>
        // What a template puts in is no text of the page.
        (text === undefined ? template.split(/\$\{[^}]*\}/) : [text]).flatMap(asLabel),
    ),
  );

function asLabel(text: string): readonly string[] {
  const label = text.trim();
  return /[a-z]{2}/i.test(label) ? [label] : [];
}

function labelsInside(code: string): readonly string[] {
  return [...code.matchAll(call)].flatMap((match) => {
    const start = match.index + match[0].length;
    const [, children = ''] = /\bchildren: ([\s\S]*)/.exec(code.slice(start, endOf(code, start))) ?? [];
    // What is inside of another element is that one's.
    let own = children;
    for (let at = own.search(/\bjsxs?\(/); at >= 0; at = own.search(/\bjsxs?\(/))
      own = own.slice(0, at) + own.slice(endOf(own, own.indexOf('(', at) + 1) + 1);
    return [...own.matchAll(/"((?:[^"\\]|\\.)*)"/g)].flatMap(([, text = '']) => asLabel(text));
  });
}

/** Where the bracket ends that was opened just before, or the part of it up to a sign; texts are passed over. */
function endOf(code: string, start: number, sign?: string): number {
  let depth = 1;
  for (let at = start; at < code.length; at++) {
    const here = code[at] ?? '';
    if (here === sign && depth === 1) return at;
    if ('"\'`'.includes(here)) {
      for (at++; at < code.length && code[at] !== here; at++) if (code[at] === '\\') at++;
    } else if ('([{'.includes(here)) depth++;
    else if (')]}'.includes(here) && --depth === 0) return at;
  }
  return code.length;
}
