import type { Fault } from './fault.ts';
import { SourceText } from './source-text.ts';

const LONE_SURROGATE = /\p{Surrogate}/u;

/**
 * Characters that never belong in a pack: controls other than tab and line breaks, non-characters, a byte order
 * mark inside the text, line separators that some editors break lines at, and marks that reorder the text
 * around them, so that a person reads something else than the machine. Lone surrogates have no UTF-8 form.
 */
const BAD_CHARACTER =
  /[^\P{Cc}\t\n\r]|[\p{Surrogate}\p{Noncharacter_Code_Point}\u{feff}\u{2028}-\u{202e}\u{2066}-\u{2069}]/u;

/** The first character of the text that may not stand in a pack, with its offset and a name such as U+202E. */
export function badCharacterIn(text: string): { readonly index: number; readonly name: string } | undefined {
  const found = BAD_CHARACTER.exec(text);
  if (found === null) return undefined;
  const code = found[0].codePointAt(0) ?? 0;
  return { index: found.index, name: `U+${code.toString(16).toUpperCase().padStart(4, '0')}` };
}

/** The text before the first byte sequence that is not UTF-8. */
function textBeforeFault(bytes: Uint8Array): string {
  const lenient = new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes);
  let at = 0;
  let index = 0;
  for (const character of lenient) {
    const code = character.codePointAt(0) ?? 0;
    // A replacement character that is not there in the bytes stands for a fault.
    if (code === 0xfffd && !(bytes[at] === 0xef && bytes[at + 1] === 0xbf && bytes[at + 2] === 0xbd)) break;
    at += code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    index += character.length;
  }
  return lenient.slice(0, index).replace(/^\u{feff}/u, '');
}

/** The text of a file, without a byte order mark at its start, or the fault that keeps it from being read. */
export function decodeText(
  path: string,
  content: Uint8Array | string,
): { readonly source: SourceText } | { readonly fault: Fault } {
  const fail = (before: string, message: string, remedy: string): { readonly fault: Fault } => {
    const range = { source: new SourceText(path, before), start: before.length, end: before.length };
    return { fault: { code: 'invalid-utf8', at: [], range, message, remedy } };
  };
  let text: string;
  if (typeof content === 'string') {
    const lone = LONE_SURROGATE.exec(content);
    if (lone !== null)
      return fail(content.slice(0, lone.index), 'Half of a character stands here.', 'Remove it.');
    text = content.replace(/^\u{feff}/u, '');
  } else {
    const [first, second] = content;
    if ((first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff)) {
      return fail('', 'The file is UTF-16.', 'Save it as UTF-8.');
    }
    try {
      text = new TextDecoder('utf-8', { fatal: true }).decode(content);
    } catch {
      return fail(textBeforeFault(content), 'What follows is not UTF-8.', 'Save the file as UTF-8.');
    }
  }
  const source = new SourceText(path, text);
  const bad = badCharacterIn(text);
  if (bad === undefined) return { source };
  return {
    fault: {
      code: 'bad-character',
      at: [],
      range: { source, start: bad.index, end: bad.index + 1 },
      message: `The character ${bad.name} cannot be seen and may not stand in a pack.`,
      remedy: 'Remove it.',
    },
  };
}
