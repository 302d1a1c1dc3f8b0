import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { transform } from 'esbuild';

/** What a person presses, opens, fills in or reads as a heading. */
const labelled = 'button|summary|legend|h1|h2|h3|a|label|option';
const call = new RegExp(`\\bjsxs?\\("(?:${labelled})", \\{`, 'g');

/** Every text that stands in the sources of the page, and not in a pack, as a label or a heading. */
export async function labelsOfPage(folder: string): Promise<ReadonlySet<string>> {
  const files = readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.tsx'))
    .map((entry) => join(entry.parentPath, entry.name));
  const all = await Promise.all(
    files.map(async (file) => {
      const { code } = await transform(readFileSync(file, 'utf8'), {
        loader: 'tsx',
        jsx: 'automatic',
        jsxImportSource: 'preact',
      });
      return labelsIn(code);
    }),
  );
  return new Set(all.flat());
}

/** The texts right inside the elements that bear labels, in code that esbuild made of JSX. */
export function labelsIn(code: string): readonly string[] {
  return [...code.matchAll(call)].flatMap((match) => {
    const start = match.index + match[0].length;
    const [, children = ''] = /\bchildren: ([\s\S]*)/.exec(code.slice(start, endOf(code, start))) ?? [];
    // What is inside of another element is that one's.
    let own = children;
    for (let at = own.search(/\bjsxs?\(/); at >= 0; at = own.search(/\bjsxs?\(/))
      own = own.slice(0, at) + own.slice(endOf(own, own.indexOf('(', at) + 1) + 1);
    return [...own.matchAll(/"((?:[^"\\]|\\.)*)"/g)].flatMap(([, text = '']) => {
      const label = text.trim();
      return /[a-z]{2}/i.test(label) ? [label] : [];
    });
  });
}

/** Where the bracket ends that was opened just before; texts are passed over. */
function endOf(code: string, start: number): number {
  let depth = 1;
  for (let at = start; at < code.length; at++) {
    const sign = code[at] ?? '';
    if ('"\'`'.includes(sign)) {
      for (at++; at < code.length && code[at] !== sign; at++) if (code[at] === '\\') at++;
    } else if ('([{'.includes(sign)) depth++;
    else if (')]}'.includes(sign) && --depth === 0) return at;
  }
  return code.length;
}
