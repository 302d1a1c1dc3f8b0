import type { YAMLException } from 'js-yaml';
import type { Fault } from './fault.ts';
import type { SourceText } from './source-text.ts';

interface Reading {
  readonly offset: number;
  readonly message: string;
  readonly remedy: string;
}

type Explain = (source: SourceText, offset: number) => Reading;

const at =
  (message: string, remedy: string): Explain =>
  (_, offset) => ({ offset, message, remedy });

/** The quote that was opened last before `offset` in a place where a value starts, and not closed since. */
function openQuote({ text }: SourceText, offset: number): number | undefined {
  let open: number | undefined;
  for (const found of text.slice(0, offset).matchAll(/(?:^|[\n\r]|: |- |[[{,?] ?)[ ]*(["'])/g)) {
    const quote = found.index + found[0].length - 1;
    const closed = text.indexOf(found[1] ?? '"', quote + 1);
    if (closed === -1 || closed >= offset) open ??= quote;
  }
  return open;
}

/** The line, at most three above, that is short of a colon or of the space after it. */
const missingColon: Explain = (source, offset) => {
  let nearest: Reading | undefined;
  let end = offset;
  for (let step = 0; step < 4 && end >= 0; step++) {
    const line = source.lineAround(end);
    const text = source.text.slice(line.start, line.end);
    const indent = text.length - text.trimStart().length;
    const place = line.start + indent;
    if (/^\s*(?:- )?[^\s:#'"]+:[^\s]/.test(text)) {
      const remedy = 'Write a space after the colon.';
      return { offset: place, message: 'The space after the colon is missing.', remedy };
    }
    if (nearest === undefined && /^\s*[^\s#]/.test(text) && !/:(?:\s|$)/.test(text)) {
      const remedy = 'Write the key, a colon, a space and the value.';
      nearest = { offset: place, message: 'A key is expected here, with a colon after it.', remedy };
    }
    end = line.start - 1;
    if (source.text[end] === '\n' && source.text[end - 1] === '\r') end--;
  }
  return (
    nearest ?? { offset, message: 'A colon is missing after a key.', remedy: 'Write the colon and a space.' }
  );
};

/** js-yaml says "bad indentation" for whatever follows a value; the character there tells the causes apart. */
const afterValue: Explain = (source, offset) => {
  const reading = (message: string, remedy: string): Reading => ({ offset, message, remedy });
  const line = source.lineAround(offset);
  const before = source.text.slice(line.start, offset);
  const character = source.text[offset] ?? '';
  if (before.trim() === '') {
    return reading(
      'This line is indented differently from the lines that it belongs with.',
      'Give all keys of a mapping, and all items of a list, the same indentation.',
    );
  }
  if (character === ':' || /:\s/.test(source.text.slice(offset, line.end))) {
    return reading(
      'A second colon with a space after it stands on this line.',
      "Put the text between ' and ', or write it below the key as a block after |. Where a key was meant, indent this line as the one above.",
    );
  }
  if (character === '-')
    return reading('A list starts on the line of its key.', 'Start the list on the next line.');
  if ('@`%]}'.includes(character)) {
    return reading(`A text cannot start with ${character} here.`, "Put the text between ' and '.");
  }
  if (/["']\s*$/.test(before)) {
    return reading(
      'Text follows a closing quote.',
      "Put the whole text between ' and ', writing ' inside it twice.",
    );
  }
  return reading('This does not belong to the value before it.', "Put the whole text between ' and '.");
};

/** The bracket or brace that opens the value of a line above and is not closed before `offset`. */
function openBracket(source: SourceText, offset: number): number | undefined {
  let end = offset;
  for (let step = 0; step < MOST_LINES && end >= 0; step++) {
    const line = source.lineAround(end);
    const [opens] =
      /^\s*(?:- +)*(?:[^\s:#'"[{]+: +)?(?=[[{])/.exec(source.text.slice(line.start, line.end)) ?? [];
    if (opens !== undefined) {
      const open: number[] = [];
      const text = source.text.slice(0, offset);
      const tokens = /'(?:[^']|'')*'|"(?:[^"\\]|\\.)*"|\s#.*|[[{\]}]/g;
      tokens.lastIndex = line.start + opens.length;
      for (let found = tokens.exec(text); found !== null; found = tokens.exec(text)) {
        if ('[{'.includes(found[0])) open.push(found.index);
        else if (']}'.includes(found[0])) open.pop();
      }
      if (open.length > 0) return open.at(-1);
    }
    end = line.start - 1;
    if (source.text[end] === '\n' && source.text[end - 1] === '\r') end--;
  }
  return undefined;
}

/** A list over more lines than this is closed, or far from where it is opened. */
const MOST_LINES = 40;

const notClosed: Explain = (source, offset) => ({
  offset: openBracket(source, offset) ?? offset,
  message: 'A list or mapping that was opened with [ or { is not closed.',
  remedy: 'Close it with ] or }, and indent its lines more than its key.',
});
const quoteNotClosed = at('A quote is not closed.', 'Close it with the same kind of quote.');

/** Inside { } and [ ] a brace, or a colon with a space, ends a text; js-yaml then misses a comma. */
const insideBraces: Explain = (source, offset) => {
  const line = source.lineAround(offset);
  const before = source.text.slice(line.start, offset).trimEnd();
  const character = source.text[offset] ?? '';
  if (('{['.includes(character) && /[^}\]"']$/.test(before)) || /[{[][^{}[\],:]*[}\]]$/.test(before)) {
    const message = 'A text with a brace in it stands inside { } or [ ].';
    return { offset, message, remedy: "Put the whole text between ' and '." };
  }
  if (character === ':') {
    const message = 'A second colon stands here: a comma is missing before a key, or a text has a colon.';
    return { offset, message, remedy: "Write the comma, or put the whole text between ' and '." };
  }
  return { offset, message: 'A comma is missing between two items.', remedy: 'Write a comma between them.' };
};

/** What js-yaml says, by the words it says it with, in the words of an author. */
const explanations: readonly (readonly [RegExp, Explain])[] = [
  [/tab characters/, at('A tab is used for indentation.', 'Indent with spaces.')],
  [/quoted scalar/, quoteNotClosed],
  [/flow collection$|deficient indentation/, notClosed],
  [/missed comma/, insideBraces],
  [/but found ','/, at('Nothing stands before this comma.', 'Remove the comma, or write the item.')],
  [
    /escape sequence|hexadecimal/,
    at('This \\ sequence is unknown.', 'Write \\\\ for one \\, or use single quotes.'),
  ],
  [/multiline key|expected ':'/, missingColon],
  [/whitespace character is expected/, at('The space after the colon is missing.', 'Write it.')],
  [/mapping entry|sequence entry/, afterValue],
  [
    /end of the stream or a document/,
    at(
      'This line does not belong to what stands above it.',
      'A file is one mapping: every top line is a key and a colon.',
    ),
  ],
  [
    /line break is expected/,
    at('The block text has to start on the next line.', 'Break the line after | or >.'),
  ],
];

/** Turns a syntax error of js-yaml into a fault that names the cause where it can be recognised. */
export function syntaxFault(source: SourceText, error: YAMLException): Fault {
  const offset = Math.min(error.mark?.position ?? 0, source.text.length);
  const range = (start: number) => ({
    source,
    start,
    end: start < source.text.length && !source.isLineBreak(start) ? start + 1 : start,
  });
  if (error.reason.startsWith('nesting exceeded')) {
    return { code: 'too-deep', at: [], range: range(offset), message: 'The file is nested too deeply.' };
  }
  // A tab or an escape is what it is; every other fault may be the wake of a quote left open further up.
  const quote = /tab characters|escape|hexadecimal/.test(error.reason)
    ? undefined
    : openQuote(source, offset);
  const explain =
    quote === undefined ? explanations.find(([words]) => words.test(error.reason))?.[1] : quoteNotClosed;
  if (explain === undefined) {
    return {
      code: 'yaml-syntax',
      at: [],
      range: range(offset),
      message: `This is not YAML: ${error.reason}.`,
    };
  }
  const reading = explain(source, quote ?? offset);
  return {
    code: 'yaml-syntax',
    at: [],
    range: range(reading.offset),
    message: reading.message,
    remedy: reading.remedy,
  };
}
