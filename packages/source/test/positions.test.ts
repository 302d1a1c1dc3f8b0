import { pointerOf, readPackFromFiles, type SourceValue, tokensOf } from '@ferrule/source';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';

interface Style {
  readonly flow: boolean;
  readonly quote: 'plain' | 'single' | 'double';
  readonly lineBreak: string;
  readonly comment: boolean;
}

/** A small YAML emitter of its own: nothing here shares code with the reader. */
class Emitter {
  readonly #style: Style;
  constructor(style: Style) {
    this.#style = style;
  }

  scalar(text: string, isKey: boolean): string {
    const { quote } = this.#style;
    if (quote === 'plain' && /^[A-Za-z0-9][A-Za-z0-9 .·°-]*$/.test(text) && text === text.trim()) return text;
    if (quote === 'single' && !/[^\P{Cc}]/u.test(text)) return `'${text.replaceAll("'", "''")}'`;
    if (
      quote === 'plain' &&
      !isKey &&
      !this.#style.flow &&
      /^[!-~][ -~]*[!-~](?:\n[!-~][ -~]*[!-~])*$/.test(text)
    )
      return '|-';
    return JSON.stringify(text).replace(
      /[\u007f-\uffff]/g,
      (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
    );
  }

  flow(value: SourceValue): string {
    if (typeof value === 'string') return this.scalar(value, true);
    if (Array.isArray(value)) return `[${value.map((item) => this.flow(item)).join(', ')}]`;
    return `{ ${Object.entries(value)
      .map(([key, item]) => `${this.scalar(key, true)}: ${this.flow(item)}`)
      .join(', ')} }`;
  }

  /** The lines of a value that follows "key:" or "-" and is indented by `indent`. */
  after(value: SourceValue, indent: string): string {
    const end = `${this.#style.comment ? ' # why: [not {read' : ''}${this.#style.lineBreak}`;
    if (typeof value === 'string') {
      const scalar = this.scalar(value, false);
      if (scalar !== '|-') return ` ${scalar}${end}`;
      return ` |-${[...value.split('\n')].map((line) => `${this.#style.lineBreak}${indent}${line}`).join('')}${this.#style.lineBreak}`;
    }
    const entries = Object.entries(value);
    if (entries.length === 0 || this.#style.flow) return ` ${this.flow(value)}${end}`;
    return `${end}${this.block(value, indent)}`;
  }

  block(value: SourceValue, indent: string): string {
    const comment = this.#style.comment ? `${this.#style.lineBreak}# - a: b${this.#style.lineBreak}` : '';
    return Object.entries(value)
      .map(([key, item]) => {
        const head = Array.isArray(value) ? '-' : `${this.scalar(key, true)}:`;
        return `${comment}${indent}${head}${this.after(item, `${indent}  `)}`;
      })
      .join('');
  }
}

const word = fc.oneof(
  fc.string({ unit: 'grapheme', maxLength: 12 }),
  fc.constantFrom(
    '0.20',
    'no',
    '~',
    '',
    ' ',
    '- a',
    'a: b',
    '#',
    "it's",
    '"',
    '\\',
    '\n',
    'a\nb',
    '19.20 mm',
    '[a',
    '{',
    '*x',
    '&x',
    '!x',
    '%',
    '@',
    '|',
    '>',
    '? a',
    '---',
    'µ °',
    '\t',
  ),
);
const forbidden =
  /[^\P{Cc}\t\n\r]|[\p{Surrogate}\p{Noncharacter_Code_Point}\u{feff}\u{2028}-\u{202e}\u{2066}-\u{2069}]/u;
const text = word.filter((value) => !forbidden.test(value));
const key = text.filter(
  (value) => value.trim() !== '' && !['<<', '__proto__', 'constructor', 'prototype'].includes(value),
);
const { value: anyValue } = fc.letrec<{ value: SourceValue }>((tie) => ({
  value: fc.oneof(
    { depthSize: 'small', maxDepth: 5 },
    text,
    fc.array(tie('value'), { maxLength: 4 }),
    fc.dictionary(key, tie('value'), { maxKeys: 4, noNullPrototype: true }),
  ),
}));
const style: fc.Arbitrary<Style> = fc.record({
  flow: fc.boolean(),
  quote: fc.constantFrom('plain' as const, 'single' as const, 'double' as const),
  lineBreak: fc.constantFrom('\n', '\r\n', '\r'),
  comment: fc.boolean(),
});

describe('what is written reads back the same, with true places', () => {
  /** The text of a span, found by splitting into lines, not by the reader's own arithmetic. */
  const slicer = (yaml: string) => {
    const lines = yaml.split(/\r\n|\r|\n/);
    return (
      span: { line: number; column: number; endLine: number; endColumn: number } | undefined,
    ): string => {
      if (span === undefined) return 'no span';
      if (span.line === span.endLine)
        return (lines[span.line - 1] ?? '').slice(span.column - 1, span.endColumn - 1);
      return [
        (lines[span.line - 1] ?? '').slice(span.column - 1),
        ...lines.slice(span.line, span.endLine - 1),
        (lines[span.endLine - 1] ?? '').slice(0, span.endColumn - 1),
      ].join('\n');
    };
  };

  it('for any JSON of texts, lists and mappings', () => {
    fc.assert(
      fc.property(
        fc.dictionary(key, anyValue, { minKeys: 1, maxKeys: 5, noNullPrototype: true }),
        style,
        (value, chosen) => {
          const emitter = new Emitter(chosen);
          const yaml = chosen.flow ? `${emitter.flow(value)}${chosen.lineBreak}` : emitter.block(value, '');
          const { document, diagnostics, positions } = readPackFromFiles(new Map([['pack.yaml', yaml]]));
          expect(diagnostics).toEqual([]);
          expect(document).toEqual(value);

          const slice = slicer(yaml);
          const check = (at: readonly string[], part: SourceValue) => {
            const pointer = pointerOf(at);
            const shown = slice(positions.value(pointer));
            if (typeof part === 'string') {
              const written = emitter.scalar(part, chosen.flow);
              const lines = (block: string) => block.split('\n').map((line) => line.trim());
              if (written === '|-') expect(lines(shown)).toEqual(lines(part));
              else expect(shown).toBe(written);
            } else {
              // A collection begins where its first part begins (or at its bracket) and ends with its last part.
              const list = Array.isArray(part);
              const inner = Object.keys(part).map((token) =>
                slice(positions.value(pointerOf([...at, token]))),
              );
              if (inner.length === 0 || chosen.flow) {
                expect([shown.at(0), shown.at(-1)]).toEqual(list ? ['[', ']'] : ['{', '}']);
              } else {
                const firstKey = emitter.scalar(Object.keys(part)[0] ?? '', true);
                expect(shown.startsWith(list ? '-' : firstKey)).toBe(true);
                const last = inner[inner.length - 1] ?? '';
                expect(shown.trimEnd().endsWith(last.trimEnd())).toBe(true);
              }
              for (const [token, item] of Object.entries(part)) {
                const span = positions.key(pointerOf([...at, token]));
                if (list) expect(span).toBeUndefined();
                else expect(slice(span)).toBe(emitter.scalar(token, true));
                check([...at, token], item);
              }
            }
          };
          for (const [token, item] of Object.entries(value)) {
            expect(slice(positions.key(pointerOf([token])))).toBe(emitter.scalar(token, true));
            check([token], item);
          }
        },
      ),
      { numRuns: 250 },
    );
  });

  it('counts columns in UTF-16 units, after a byte order mark too', () => {
    const { positions } = readPackFromFiles(new Map([['pack.yaml', '\ufeff😂: [😂, x]\n']]));
    expect(positions.key('/😂')).toEqual({ file: 'pack.yaml', line: 1, column: 1, endLine: 1, endColumn: 3 });
    expect(positions.value('/😂/1')).toEqual({
      file: 'pack.yaml',
      line: 1,
      column: 10,
      endLine: 1,
      endColumn: 11,
    });
  });

  it('of a block text, a single pair in a list and an anchored value', () => {
    const yaml = 'a: >-\n\n  one\n  two\n\nb: [c: d, e]\nf: &g [h]\ni:\n  &j\n  k: l\n';
    const { positions, diagnostics } = readPackFromFiles(new Map([['pack.yaml', yaml]]));
    const slice = slicer(yaml);
    expect(diagnostics).toEqual([]);
    expect(slice(positions.value('/a'))).toBe('one\n  two');
    expect(slice(positions.value('/b/0'))).toBe('c: d');
    expect(slice(positions.value('/b'))).toBe('[c: d, e]');
    expect(slice(positions.value('/f'))).toBe('[h]');
    expect(slice(positions.value('/i'))).toBe('k: l');
  });
});

// RFC 6901 clause 5, its example pointers (from memory).
describe('RFC 6901 pointers', () => {
  it.each([
    ['', []],
    ['/foo', ['foo']],
    ['/foo/0', ['foo', '0']],
    ['/', ['']],
    ['/a~1b', ['a/b']],
    ['/m~0n', ['m~n']],
    ['/~01', ['~1']],
    ['/c%d', ['c%d']],
  ])('%j', (pointer, tokens) => {
    expect(tokensOf(pointer)).toEqual(tokens);
    expect(pointerOf(tokens)).toBe(pointer);
  });
  it('refuses other texts', () => expect(tokensOf('foo')).toBeUndefined());
});
