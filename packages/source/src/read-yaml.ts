import {
  type AliasEvent,
  COLLECTION_STYLE,
  EVENT_ID,
  type Event,
  getScalarValue,
  type MappingEvent,
  parseEvents,
  SCALAR_STYLE,
  type ScalarEvent,
  type SequenceEvent,
  YAMLException,
} from 'js-yaml';
import { badCharacterIn } from './decode-text.ts';
import type { Fault } from './fault.ts';
import { limits } from './limits.ts';
import type { SourceText } from './source-text.ts';
import { isMapping, type SourceMapping, type SourceValue } from './source-value.ts';
import type { Range, Spot } from './spot.ts';
import { syntaxFault } from './syntax-fault.ts';

/** What a whole pack may still use; reading a file takes from it. */
export interface Budget {
  values: number;
  indicators: number;
  repeatedCharacters: number;
  /** Set by the file that ran out, which says so; the files after it are not read. */
  spent: boolean;
}

export const fullBudget = (): Budget => ({
  values: limits.values,
  indicators: limits.indicators,
  repeatedCharacters: limits.packBytes,
  spent: false,
});

export interface YamlReading {
  /** Absent when the file holds no mapping that could be read. */
  readonly root?: { readonly value: SourceMapping; readonly spot: Spot };
  readonly faults: readonly Fault[];
}

/** A value with its place, and what it costs to repeat it through an alias. */
interface Read {
  readonly value: SourceValue;
  readonly range: Range;
  readonly parts?: Spot['parts'];
  readonly values: number;
  readonly characters: number;
  readonly height: number;
}

type Node = ScalarEvent | SequenceEvent | MappingEvent | AliasEvent;

const FORBIDDEN_KEYS: ReadonlySet<string> = new Set(['__proto__', 'constructor', 'prototype']);

/** Keys that would reach into the machinery of JavaScript objects. */
export const isForbiddenKey = (key: string): boolean => FORBIDDEN_KEYS.has(key);

const ABSENT = -1;

/** An upper bound for the events that parsing makes, found without parsing. */
function countIndicators(text: string, most: number): number {
  let count = 0;
  for (let at = 0; at < text.length && count <= most; at++) {
    switch (text[at]) {
      case ',':
      case '[':
      case '{':
      case '\n':
      case '\r':
        count++;
        break;
      case '-':
      case '?':
      case ':': {
        const next = text[at + 1];
        if (next === undefined || ' \t\n\r,[]{}'.includes(next)) count++;
      }
    }
  }
  return count;
}

/**
 * Reads one YAML file into text values with a place for each. Only a plain subset of YAML 1.2 is read: one
 * document, no tags, no directives but %YAML 1.2, no merge keys, keys that are texts on one line, aliases to
 * finished anchors within bounds. Every fault is reported with its place; the rest is read all the same.
 */
export function readYaml(source: SourceText, budget: Budget): YamlReading {
  if (budget.spent) return { faults: [] };
  const { text } = source;
  budget.indicators -= countIndicators(text, budget.indicators);
  if (budget.indicators < 0) {
    budget.spent = true;
    const message = `With this file the pack has more than ${limits.indicators} lines and YAML indicators; this file and those after it are not read.`;
    return { faults: [{ code: 'too-many-values', at: [], range: { source, start: 0, end: 0 }, message }] };
  }
  try {
    // The parser counts the scalar inside the innermost collection as one level more.
    return new Walk(source, parseEvents(text, { maxDepth: limits.depth + 1 }), budget).file();
  } catch (error) {
    if (error instanceof YAMLException) return { faults: [syntaxFault(source, error)] };
    throw error;
  }
}

class Walk {
  readonly #source: SourceText;
  readonly #text: string;
  readonly #events: readonly Event[];
  readonly #budget: Budget;
  readonly #anchors = new Map<string, Read | 'open'>();
  readonly #path: string[] = [];
  readonly #faults: Fault[] = [];
  #unreported = 0;
  /** Above 0 while the value of a refused key is passed over: its faults would have no place of their own. */
  #muted = 0;
  #next = 0;
  /** The end of the last token seen; ends of collections, which have no event, are looked for from here. */
  #cursor = 0;
  #depth = 0;
  #stopped = false;

  constructor(source: SourceText, events: readonly Event[], budget: Budget) {
    this.#source = source;
    this.#text = source.text;
    this.#events = events;
    this.#budget = budget;
  }

  file(): YamlReading {
    const document = this.#events[this.#next++];
    const first = this.#events[this.#next];
    if (document?.type !== EVENT_ID.DOCUMENT || first === undefined || isEmptyScalar(first)) {
      this.#fault('empty-file', 0, 0, 'The file holds nothing.', 'Write a mapping, or remove the file.');
      return { faults: this.#faults };
    }
    if (document.directives.some((directive) => directive.kind !== 'yaml' || directive.version !== '1.2')) {
      const line = this.#source.lineAround(Math.max(this.#text.search(/^%/m), 0));
      const remedy = 'Remove it: packs are YAML 1.2, without tags.';
      this.#fault('yaml-directive', line.start, line.end, 'A directive is not read.', remedy);
    }
    const root = this.#node({ source: this.#source, start: 0, end: 0 });
    if (this.#events.slice(this.#next).some((event) => event.type === EVENT_ID.DOCUMENT)) {
      const marker = /^---(?=\s|$)/gm;
      marker.lastIndex = this.#cursor;
      const start = marker.exec(this.#text)?.index ?? this.#cursor;
      const remedy = 'Put it in a file of its own.';
      this.#fault('several-documents', start, start + 3, 'A second document starts here.', remedy);
    }
    if (this.#unreported > 0) {
      this.#faults.push({
        code: 'too-many-faults',
        at: [],
        range: { source: this.#source, start: 0, end: 0 },
        message: `${this.#unreported} more faults of this file are not shown.`,
      });
    }
    if (!isMapping(root.value)) {
      const spaceless = typeof root.value === 'string' && /^[^\s:]+:\S/.test(root.value);
      const remedy = spaceless ? 'Write a space after the colon.' : 'Write keys with values.';
      const what = typeof root.value === 'string' ? 'a text' : 'a list';
      const { start, end } = root.range;
      this.#fault('not-a-mapping', start, end, `A mapping is expected here, and this is ${what}.`, remedy);
      return { faults: this.#faults };
    }
    const spot: Spot = { value: root.range, ...(root.parts === undefined ? {} : { parts: root.parts }) };
    return { root: { value: root.value, spot }, faults: this.#faults };
  }

  #fault(
    code: Fault['code'],
    start: number,
    end: number,
    message: string,
    remedy: string,
    other?: Fault['other'],
    severity?: Fault['severity'],
  ) {
    if (this.#muted > 0) return;
    if (this.#faults.length >= limits.faults) {
      this.#unreported++;
      return;
    }
    const range = { source: this.#source, start, end };
    const at = [...this.#path];
    this.#faults.push({
      code,
      at,
      range,
      message,
      remedy,
      ...(other === undefined ? {} : { other }),
      ...(severity === undefined ? {} : { severity }),
    });
  }

  /** Reads the node that starts at the next event; `place` is where to point when it is empty. */
  #node(place: Range): Read {
    const event = this.#events[this.#next++];
    if (event === undefined || event.type === EVENT_ID.POP || event.type === EVENT_ID.DOCUMENT) {
      throw new Error('js-yaml: a node is missing in the event stream');
    }
    if (event.type === EVENT_ID.ALIAS) return this.#spend(this.#alias(event), 0);
    this.#refuseTag(event);
    const anchor = this.#openAnchor(event);
    const read = this.#spend(
      event.type === EVENT_ID.SCALAR ? this.#scalar(event, place) : this.#collection(event),
      1,
    );
    if (anchor !== undefined) this.#anchors.set(anchor, read);
    return read;
  }

  #spend(read: Read, values: number): Read {
    this.#budget.values -= values;
    if (this.#budget.values < 0 && !this.#stopped) {
      const message = `The pack has more than ${limits.values} values; what follows is not read.`;
      this.#fault('too-many-values', read.range.start, read.range.start, message, 'Split the pack.');
      this.#stopped = true;
      this.#budget.spent = true;
    }
    return read;
  }

  #refuseTag(event: Exclude<Node, AliasEvent>) {
    if (event.tagStart === ABSENT) return;
    this.#cursor = Math.max(this.#cursor, event.tagEnd);
    const tag = this.#text.slice(event.tagStart, event.tagEnd);
    const remedy = 'Remove it: the schema says what a text means.';
    this.#fault('yaml-tag', event.tagStart, event.tagEnd, `The tag ${tag} is not read.`, remedy);
  }

  #openAnchor({ anchorStart, anchorEnd }: Exclude<Node, AliasEvent>): string | undefined {
    if (anchorStart === ABSENT) return undefined;
    this.#cursor = Math.max(this.#cursor, anchorEnd);
    const name = this.#text.slice(anchorStart, anchorEnd);
    if (this.#anchors.has(name)) {
      const message = `The anchor &${name} is already set in this file.`;
      this.#fault('bad-alias', anchorStart - 1, anchorEnd, message, 'Give it another name.');
      return undefined;
    }
    this.#anchors.set(name, 'open');
    return name;
  }

  #alias({ anchorStart, anchorEnd }: AliasEvent): Read {
    const start = anchorStart - 1;
    const range = { source: this.#source, start, end: anchorEnd };
    const name = this.#text.slice(anchorStart, anchorEnd);
    const target = this.#anchors.get(name);
    this.#cursor = anchorEnd;
    const nothing: Read = { value: '', range, values: 1, characters: 0, height: 0 };
    const refuse = (code: Fault['code'], message: string, remedy: string): Read => {
      this.#fault(code, start, anchorEnd, message, remedy);
      return nothing;
    };
    if (target === undefined) {
      return refuse('bad-alias', `No anchor &${name} stands above in this file.`, `Set &${name} first.`);
    }
    if (target === 'open') {
      return refuse('bad-alias', `*${name} stands inside &${name} itself.`, 'Write out what is meant.');
    }
    if (this.#depth + target.height > limits.depth) {
      return refuse('too-deep', `*${name} nests more than ${limits.depth} levels.`, 'Nest less.');
    }
    if (target.values > this.#budget.values || target.characters > this.#budget.repeatedCharacters) {
      return refuse('too-many-values', `*${name} repeats more than a pack may hold.`, 'Use fewer aliases.');
    }
    this.#budget.values -= target.values;
    this.#budget.repeatedCharacters -= target.characters;
    return { ...target, range };
  }

  #scalar(event: ScalarEvent, place: Range): Read {
    const range = isEmptyScalar(event) ? place : this.#rangeOf(event);
    let value = getScalarValue(this.#text, event);
    if (isEmptyScalar(event)) {
      this.#fault(
        'empty-value',
        place.start,
        place.end,
        'A value is missing here.',
        this.#valueRemedy(place),
      );
    } else {
      this.#cursor =
        event.style === SCALAR_STYLE.PLAIN ? event.valueEnd : Math.max(range.end, event.valueEnd);
      if (event.style === SCALAR_STYLE.PLAIN) this.#checkComment(event.valueEnd);
      if (event.style === SCALAR_STYLE.DOUBLE_QUOTED && !event.fast) {
        const bad = this.#badEscape(value, range);
        if (bad !== undefined) {
          const message = `The escape for ${bad} stands for no character that a pack may hold.`;
          this.#fault('bad-character', range.start, range.end, message, 'Remove it.');
          value = '';
        }
      }
    }
    return { value, range, values: 1, characters: value.length, height: 0 };
  }

  /** A number sign behind a text that has no blank after it was hardly meant as a comment: `cylinder #1`. */
  #checkComment(end: number) {
    // A line may be very long and hold very many texts, so that nothing is looked at but what follows.
    let sign = end;
    while (this.#text[sign] === ' ' || this.#text[sign] === '\t') sign++;
    if (sign === end || this.#text[sign] !== '#' || /[\s#!]/.test(this.#text[sign + 1] ?? ' ')) return;
    const { end: until } = this.#source.lineAround(end);
    const message = `Everything from ${JSON.stringify(this.#text.slice(sign, until).trim().slice(0, 40))} on is a comment, and no part of the text before it.`;
    const remedy = "Put the whole text between ' and '; a comment has a blank after its #.";
    this.#fault('comment-in-text', sign, until, message, remedy, undefined, 'warning');
  }

  /** What was probably meant where a value is missing: inside { } a comma ends a text. */
  #valueRemedy({ start, end }: Range): string {
    const key = this.#text.slice(start, end);
    if (/^[^\s:]+:\S/.test(key)) return 'Write a space after the colon.';
    const isAlone = end > start && /^\s*[,}]/.test(this.#text.slice(end, end + 1000));
    if (isAlone && key !== '-') {
      const isFirst = /\{\s*$/.test(this.#text.slice(Math.max(0, start - 1000), start));
      return isFirst
        ? "A text that starts with { stands in quotes: put it between ' and '."
        : "If this is the rest of a text with a comma in it, put the whole text between ' and '.";
    }
    return "Write the value; '' is an empty text.";
  }

  #badEscape(value: string, range: Range): string | undefined {
    const written = this.#text.slice(range.start, range.end);
    for (const [, digits] of written.matchAll(/\\(?:U([0-9a-fA-F]{8})|[\s\S])/g)) {
      if (digits !== undefined && Number.parseInt(digits, 16) > 0x10ffff) return `U+${digits}`;
    }
    return badCharacterIn(value)?.name;
  }

  /** Offsets of js-yaml start after an opening quote, and for a block at its first line, indentation included. */
  #rangeOf({ style, valueStart, valueEnd }: ScalarEvent): Range {
    const source = this.#source;
    if (style === SCALAR_STYLE.SINGLE_QUOTED || style === SCALAR_STYLE.DOUBLE_QUOTED) {
      return { source, start: valueStart - 1, end: valueEnd + 1 };
    }
    if (style === SCALAR_STYLE.PLAIN) return { source, start: valueStart, end: valueEnd };
    let start = valueStart;
    let end = valueEnd;
    while (end > start && this.#isBlank(end - 1)) end--;
    while (start < end && this.#isBlank(start)) start++;
    return { source, start, end };
  }

  #isBlank(offset: number): boolean {
    return offset < this.#text.length && ' \t\n\r'.includes(this.#text[offset] ?? '');
  }

  /** The first offset at or after the cursor that is not white space, a comment or one of `also`. */
  #afterTrivia(also: string): number {
    let at = this.#cursor;
    for (; at < this.#text.length; at++) {
      if (this.#isBlank(at) || also.includes(this.#text[at] ?? '\0')) continue;
      if (this.#text[at] !== '#') break;
      while (at < this.#text.length && !this.#source.isLineBreak(at)) at++;
    }
    return at;
  }

  #collection(event: SequenceEvent | MappingEvent): Read {
    this.#depth++;
    const bracket = '[{'.includes(this.#text[event.start] ?? ' ') && event.style === COLLECTION_STYLE.FLOW;
    this.#cursor = Math.max(this.#cursor, event.start + Number(bracket));
    if (this.#depth === limits.depth + 1) {
      const message = `Lists and mappings are nested in more than ${limits.depth} levels.`;
      this.#fault('too-deep', event.start, event.start + 1, message, 'Nest less.');
    }
    const read = event.type === EVENT_ID.SEQUENCE ? this.#list(event) : this.#mapping(event);
    this.#depth--;
    return read;
  }

  #atPop(): boolean {
    return this.#events[this.#next]?.type === EVENT_ID.POP;
  }

  /** Passes over the end of a collection and returns its offset. */
  #close(event: SequenceEvent | MappingEvent): number {
    this.#next++;
    const closing = { '[': ']', '{': '}' }[this.#text[event.start] ?? ''];
    // A single pair inside a list is a mapping without braces of its own.
    if (event.style !== COLLECTION_STYLE.FLOW || closing === undefined) return this.#cursor;
    const at = this.#afterTrivia(',:?');
    if (this.#text[at] === closing) this.#cursor = at + 1;
    return this.#cursor;
  }

  #list(event: SequenceEvent): Read {
    const value: SourceValue[] = [];
    const parts: Spot[] = [];
    let [values, characters, height] = [1, 0, 0];
    while (!this.#atPop()) {
      let place: Range = { source: this.#source, start: this.#cursor, end: this.#cursor };
      if (event.style === COLLECTION_STYLE.BLOCK) {
        const dash = this.#afterTrivia('');
        if (this.#text[dash] === '-') place = { source: this.#source, start: dash, end: dash + 1 };
        this.#cursor = place.end;
      }
      this.#path.push(String(value.length));
      const item = this.#node(place);
      this.#path.pop();
      if (this.#stopped) continue;
      value.push(item.value);
      parts.push({ value: item.range, ...(item.parts === undefined ? {} : { parts: item.parts }) });
      values += item.values;
      characters += item.characters;
      height = Math.max(height, item.height);
    }
    const end = this.#close(event);
    const range = { source: this.#source, start: event.start, end };
    return { value, range, parts, values, characters, height: height + 1 };
  }

  #mapping(event: MappingEvent): Read {
    // Keys that would reach into the machinery of objects have been refused.
    const value: Record<string, SourceValue> = {};
    const parts = new Map<string, Spot>();
    let [values, characters, height] = [1, 0, 0];
    while (!this.#atPop()) {
      const key = this.#key();
      this.#path.push(key?.text ?? '');
      if (key === undefined) this.#muted++;
      const first = key && parts.get(key.text)?.key;
      if (key !== undefined && first !== undefined) {
        const other = { at: [...this.#path], range: first, message: 'It was first written here.' };
        const message = `The key ${key.text} is written twice in this mapping.`;
        this.#fault('duplicate-key', key.range.start, key.range.end, message, 'Keep one of them.', other);
      }
      const at = this.#cursor;
      const item = this.#node(key?.range ?? { source: this.#source, start: at, end: at });
      if (key === undefined) this.#muted--;
      this.#path.pop();
      if (key === undefined || first !== undefined || this.#stopped) continue;
      value[key.text] = item.value;
      parts.set(key.text, {
        key: key.range,
        value: item.range,
        ...(item.parts === undefined ? {} : { parts: item.parts }),
      });
      values += item.values;
      characters += item.characters + key.text.length;
      height = Math.max(height, item.height);
    }
    const end = this.#close(event);
    const range = { source: this.#source, start: event.start, end };
    return { value, range, parts, values, characters, height: height + 1 };
  }

  /** Reads a key; undefined, with a fault, when it may not be one. */
  #key(): { readonly text: string; readonly range: Range } | undefined {
    const event = this.#events[this.#next];
    const start = this.#cursor;
    if (event?.type !== EVENT_ID.SCALAR || event.style >= SCALAR_STYLE.LITERAL_BLOCK) {
      this.#muted++;
      const { range } = this.#node({ source: this.#source, start, end: start });
      this.#muted--;
      const message = 'A key has to be a text.';
      this.#fault('bad-key', range.start, range.end, message, 'Write a text on one line.');
      return undefined;
    }
    if (isEmptyScalar(event)) {
      this.#next++;
      const at = this.#afterTrivia(',');
      const message = 'A key is missing before the colon.';
      this.#fault('bad-key', at, Math.min(at + 1, this.#text.length), message, 'Write the key.');
      return undefined;
    }
    const { value, range } = this.#node({ source: this.#source, start, end: start });
    const refuse = (code: Fault['code'], message: string, remedy: string): undefined => {
      this.#fault(code, range.start, range.end, message, remedy);
    };
    const text = typeof value === 'string' ? value : '';
    if (event.anchorStart !== ABSENT)
      return refuse('bad-key', 'A key has an anchor.', 'Set anchors on values.');
    if (/[\n\r]/.test(this.#text.slice(range.start, range.end))) {
      return refuse(
        'bad-key',
        'A key goes over several lines.',
        'Write it on one line, with a colon and a space.',
      );
    }
    if (text.trim() === '') return refuse('bad-key', 'A key is empty.', 'Write the key.');
    if (text === '<<') return refuse('merge-key', 'Merge keys are not read.', 'Write the keys out.');
    if (isForbiddenKey(text))
      return refuse('forbidden-key', `The key ${text} is reserved.`, 'Choose another name.');
    return { text, range };
  }
}

const isEmptyScalar = (event: Event): boolean =>
  event.type === EVENT_ID.SCALAR && event.valueStart === ABSENT;
