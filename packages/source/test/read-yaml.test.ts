import { limits, readPackFromFiles } from '@ferrule/source';
import { describe, expect, it } from 'vitest';

const read = (yaml: string | Uint8Array) => readPackFromFiles(new Map([['pack.yaml', yaml]]));
const codes = (yaml: string | Uint8Array) => read(yaml).diagnostics.map(({ code }) => code);

describe('YAML scalars are text', () => {
  it.each([
    '0.20',
    '1.10',
    'off',
    'no',
    'yes',
    'true',
    'null',
    '~',
    '1e3',
    '0o17',
    '0x1F',
    '017',
    '.5',
    '+1',
    '-0',
    '.nan',
    '.inf',
    '2026-01-31',
    '12:30:45',
    '1_000',
    '19.20 mm',
    '0 °C',
    '4.0 N·m',
    '= 3',
    '<= 3',
    '0.1.2',
    'a:b',
    'a#b',
    '-0.5 mm',
  ])('%s, plain and quoted', (text) => {
    expect(read(`value: ${text}\n`)).toMatchObject({ document: { value: text }, diagnostics: [] });
    expect(read(`value: '${text}'\n`).document).toEqual({ value: text });
    expect(read(`value: "${text}"\n`).document).toEqual({ value: text });
    expect(read(`value: [${text}]\n`).document).toEqual({ value: [text] });
  });

  it.each([
    ['a literal block', 'value: |\n  One.\n    Two.\n\n  Three.\n', 'One.\n  Two.\n\nThree.\n'],
    ['a literal block, stripped', 'value: |-\n  One.\n  Two.\n', 'One.\nTwo.'],
    ['a literal block, kept', 'value: |+\n  One.\n\n', 'One.\n\n'],
    ['a folded block', 'value: >\n  One\n  two.\n\n  Three.\n', 'One two.\nThree.\n'],
    ['CR LF', 'value: |\r\n  One.\r\n  Two.\r\n', 'One.\nTwo.\n'],
    ['CR', 'value: |\r  One.\r  Two.\r', 'One.\nTwo.\n'],
    ['plain over two lines', 'value: one\n  two\n', 'one two'],
    ['single quotes inside', "value: 'the pump''s arm'\n", "the pump's arm"],
    ['escapes', 'value: "\\u00b0 \\x41 \\"\\\\ \\ud83d\\ude02 \\U0001F602"\n', '° A "\\ 😂 😂'],
    ['a comment', 'value: one # two\n', 'one'],
    ['a hash inside', 'value: one#two\n', 'one#two'],
    ['an empty text, said so', "value: ''\n", ''],
    ['a byte order mark', '\ufeffvalue: one\n', 'one'],
    ['a tab after the colon', 'value:\tone\n', 'one'],
  ])('%s', (_, yaml, value) => {
    expect(read(yaml)).toMatchObject({ document: { value }, diagnostics: [] });
    expect(read(new TextEncoder().encode(yaml))).toMatchObject({ document: { value }, diagnostics: [] });
  });
});

describe('keys', () => {
  it('keeps keys that need quotes, such as those of JSON Logic', () => {
    const { document, diagnostics } = read('rule: { "!": [{ ">": [a, b] }], \'*\': [c], <=: [d] }\n');
    expect(diagnostics).toEqual([]);
    expect(document).toEqual({ rule: { '!': [{ '>': ['a', 'b'] }], '*': ['c'], '<=': ['d'] } });
  });

  it('names both places of a key written twice, and keeps the first', () => {
    const { document, diagnostics } = read('a:\n  b: one\n  c: two\n  b: three\n');
    expect(document).toEqual({ a: { b: 'one', c: 'two' } });
    expect(diagnostics).toEqual([
      {
        code: 'duplicate-key',
        severity: 'error',
        pointer: '/a/b',
        span: { file: 'pack.yaml', line: 4, column: 3, endLine: 4, endColumn: 4 },
        message: expect.stringContaining('twice'),
        remedy: expect.any(String),
        other: [
          {
            pointer: '/a/b',
            span: { file: 'pack.yaml', line: 2, column: 3, endLine: 2, endColumn: 4 },
            message: expect.any(String),
          },
        ],
      },
    ]);
  });

  it('sees plain and quoted forms of one key as one', () => {
    expect(codes('a: one\n"a": two\n')).toEqual(['duplicate-key']);
    expect(codes('a: one\n"\\x61": two\n')).toEqual(['duplicate-key']);
  });

  it('reads on after a refused key and does not report what stands under it', () => {
    const { document, diagnostics } = read('a: { constructor: { b: , b: }, c: d }\n');
    expect(document).toEqual({ a: { c: 'd' } });
    expect(diagnostics.map(({ code, pointer }) => [code, pointer])).toEqual([['forbidden-key', '/a']]);
  });
});

describe('traps', () => {
  // yaml, codes, line and column of the first diagnostic
  const traps: readonly (readonly [string, string, readonly string[], readonly [number, number]])[] = [
    ['an empty value', 'a: b\nc:\n', ['empty-value'], [2, 1]],
    ['an empty value before another key', 'a:\nc: d\n', ['empty-value'], [1, 1]],
    ['an empty value in braces', 'a: {b: , c: d}\n', ['empty-value'], [1, 5]],
    ['a key alone in braces', 'a: {b}\n', ['empty-value'], [1, 5]],
    ['an empty item', 'a:\n  - b\n  # why\n  -\n  - c\n', ['empty-value'], [4, 3]],
    ['two empty items', 'a:\n-\n-\n', ['empty-value', 'empty-value'], [2, 1]],
    ['an anchor on nothing', 'a: &b\n', ['empty-value'], [1, 1]],
    ['two empty items after a block text', 'a:\n- |\n  x\n\n-\n', ['empty-value'], [5, 1]],
    ['no key', ': a\n', ['bad-key'], [1, 1]],
    ['no key in braces', 'a: {b: c, : d}\n', ['bad-key'], [1, 11]],
    ['an empty key', '"": a\n', ['bad-key'], [1, 1]],
    ['a list as key', '[a, b]: c\n', ['bad-key'], [1, 1]],
    ['a mapping as key', '{a: b}: c\n', ['bad-key'], [1, 1]],
    ['a block as key', '? |\n  a\n: b\n', ['bad-key'], [2, 3]],
    ['a key over two lines', '? a\n  b\n: c\n', ['bad-key'], [1, 3]],
    ['an alias as key', 'a: &x b\n*x : c\n', ['bad-key'], [2, 1]],
    ['an anchor on a key', '&x a: b\n', ['bad-key'], [1, 4]],
    ['a tag on a key', '!!str a: b\n', ['yaml-tag'], [1, 1]],
    ['a merge key', 'a: &x {b: c}\nd:\n  <<: *x\n', ['merge-key'], [3, 3]],
    ['__proto__', 'a:\n  __proto__: {b: c}\n', ['forbidden-key'], [2, 3]],
    ['constructor', 'constructor: a\n', ['forbidden-key'], [1, 1]],
    ['prototype, quoted', 'a: {"prototype": b}\n', ['forbidden-key'], [1, 5]],
    ['__proto__, escaped', 'a: {"\\x5f_proto__": b}\n', ['forbidden-key'], [1, 5]],
    ['a tag of YAML', 'a: !!float 0.20\n', ['yaml-tag'], [1, 4]],
    ['a tag of its own', 'a: !fit {b: c}\n', ['yaml-tag'], [1, 4]],
    ['a tag that says nothing', 'a: ! b\n', ['yaml-tag'], [1, 4]],
    ['a directive of tags', '%TAG ! tag:x,2026:\n---\na: b\n', ['yaml-directive'], [1, 1]],
    ['an older YAML', '# one\n%YAML 1.1\n---\na: b\n', ['yaml-directive'], [2, 1]],
    ['two documents', 'a: b\n---\nc: d\n', ['several-documents'], [2, 1]],
    [
      'two documents, the second without a marker line of its own',
      'a: |\n  x\n--- \nc: d\n',
      ['several-documents'],
      [3, 1],
    ],
    ['nothing', '', ['empty-file'], [1, 1]],
    ['a comment only', '# nothing\n', ['empty-file'], [1, 1]],
    ['a marker only', '---\n', ['empty-file'], [1, 1]],
    ['a list', '- a\n', ['not-a-mapping'], [1, 1]],
    ['a text', 'a:b\n', ['not-a-mapping'], [1, 1]],
    ['an alias to nothing', 'a: *b\n', ['bad-alias'], [1, 4]],
    ['an alias to what comes later', 'a: *b\nc: &b d\n', ['bad-alias'], [1, 4]],
    ['an alias inside its anchor', 'a: &b [c, *b]\n', ['bad-alias'], [1, 11]],
    ['an anchor set twice', 'a: &b c\nd: &b e\n', ['bad-alias'], [2, 4]],
    ['a control character', 'a: b\u0007c\n', ['bad-character'], [1, 5]],
    ['a null character', 'a: b\nc: d\u0000\n', ['bad-character'], [2, 5]],
    ['a mark that turns the text around', 'a: b # \u202e\n', ['bad-character'], [1, 8]],
    ['a byte order mark inside', 'a: b\n\ufeffc: d\n', ['bad-character'], [2, 1]],
    ['a null character, escaped', 'a: "b\\0"\n', ['bad-character'], [1, 4]],
    ['half a character, escaped', 'a: ["\\ud83d"]\n', ['bad-character'], [1, 5]],
    ['a number beyond Unicode', 'a: "\\U00110000"\n', ['bad-character'], [1, 4]],
    ['a number far beyond Unicode', 'a: "x\\\\\\UFFFFFFFF"\n', ['bad-character'], [1, 4]],
    ['a number beyond Unicode that wraps round to a letter', 'a: "\\U80000041"\n', ['bad-character'], [1, 4]],
    ['half a character', 'a: b\nc: \ud83d\n', ['invalid-utf8'], [2, 4]],
  ];
  it.each(traps)('%s', (_, yaml, expected, [line, column]) => {
    const { diagnostics } = read(yaml);
    expect(diagnostics.map(({ code }) => code)).toEqual(expected);
    expect(diagnostics[0]).toMatchObject({ severity: 'error', span: { line, column } });
    expect(diagnostics[0]?.remedy).not.toBe('');
    expect(Object.getPrototypeOf({})).toBe(Object.prototype);
    expect(({} as Record<string, unknown>)['b']).toBeUndefined();
  });

  it('allows %YAML 1.2 and a document end', () => {
    expect(read('%YAML 1.2\n---\na: b\n...\n')).toMatchObject({ document: { a: 'b' }, diagnostics: [] });
  });

  it.each([
    ['not UTF-8', [0x61, 0x3a, 0x20, 0xc3, 0xa9, 0x0a, 0x62, 0x3a, 0x20, 0xff], [2, 4]],
    [
      'not UTF-8 after a real replacement character',
      [0x61, 0xef, 0xbf, 0xbd, 0x3a, 0x20, 0xe2, 0x82],
      [1, 5],
    ],
    ['not UTF-8 after a letter of two bytes', [0xc3, 0xa9, 0xef, 0xbf, 0xbd, 0x3a, 0x20, 0xff], [1, 5]],
    ['a surrogate as UTF-8', [0x61, 0x3a, 0x20, 0xed, 0xa0, 0x80], [1, 4]],
    ['an overlong form', [0x61, 0x3a, 0x20, 0xc0, 0xaf], [1, 4]],
    ['UTF-16', [0xff, 0xfe, 0x61, 0x00], [1, 1]],
  ])('%s', (_, bytes, [line, column]) => {
    const { diagnostics } = read(Uint8Array.from(bytes));
    expect(diagnostics).toMatchObject([{ code: 'invalid-utf8', span: { line, column } }]);
  });
});

describe('syntax errors say what to do', () => {
  const faults: readonly (readonly [string, string, readonly [number, number], RegExp, RegExp])[] = [
    ['a tab', 'a:\n\tb: c\n', [2, 1], /tab/, /spaces/],
    ['a tab before an item', 'a:\n  b: c\n\t- d\n', [3, 1], /tab|indent/i, /spaces|indentation/],
    ['no space after a colon', 'a: b\nc:d\ne: f\n', [2, 1], /space after the colon/, /space after the colon/],
    ['no space after a colon at the end', 'a: b\nc:d\n', [2, 1], /space after the colon/, /space/],
    ['no colon', 'a: b\ncd\ne: f\n', [2, 1], /key is expected/, /colon/],
    ['a double quote left open', 'a: "b\nc: d\n', [1, 4], /quote is not closed/, /Close/],
    ['a single quote left open', "a: b\nc: 'd\ne: f\n", [2, 4], /quote is not closed/, /Close/],
    ['a quote left open to the end', 'a: "b', [1, 4], /quote is not closed/, /Close/],
    ['a quote left open in a list', 'a:\n  - "b\n  - "c"\n', [2, 5], /quote is not closed/, /Close/],
    ['a bracket left open', 'a: [b\nc: d\n', [1, 4], /not closed/, /Close/],
    ['a bracket left open three lines above', 'a: [b,\n  c,\n  d\ne: [f]\n', [1, 4], /not closed/, /Close/],
    ['a bracket left open behind a closed one', 'a: [b, [c], "]", d\ne: f\n', [1, 4], /not closed/, /Close/],
    ['a brace left open', 'a: {b: c', [1, 4], /not closed/, /Close/],
    ['a comma missing', 'a: [{b: c} {d: e}]\n', [1, 12], /comma/, /comma/],
    ['a place-holder in braces', 'a: { do: Look at {bore}. }\n', [1, 18], /brace/, /whole text between/],
    ['a place-holder first in braces', 'a: { do: {bore} is in }\n', [1, 17], /brace/, /whole text between/],
    ['a bracket in a text in braces', 'a: { do: See [1] }\n', [1, 14], /brace/, /whole text between/],
    ['a place-holder in brackets', 'a: [Look at {bore}, b]\n', [1, 13], /brace/, /whole text between/],
    ['a second colon in braces', 'a: { b: Fit: now }\n', [1, 12], /second colon/, /whole text between/],
    ['a comma too many', 'a: [b, , c]\n', [1, 8], /comma/, /Remove/],
    ['a second colon', 'a: Fit it: now\n', [1, 10], /second colon/, /Put the text between/],
    ['text after a quote', 'a: "b" c\n', [1, 8], /closing quote/, /whole text/],
    ['a list beside its key', 'a: - b\n', [1, 4], /list starts/, /next line/],
    ['a reserved character', 'a: @b\n', [1, 4], /cannot start/, /Put the text/],
    ['uneven indentation', 'a:\n  b: c\n d: e\n', [3, 2], /indented differently/, /same indentation/],
    ['an unknown escape', 'a: "b\\q"\n', [1, 7], /unknown/, /single quotes/],
    ['a key below a list', '- a\nb: c\n', [2, 1], /does not belong/, /mapping/],
    ['text beside a block', 'a: |b\n  c\n', [1, 5], /next line/, /after \|/],
  ];
  it.each(faults)('%s', (_, yaml, [line, column], message, remedy) => {
    const { diagnostics, document } = read(yaml);
    expect(diagnostics).toHaveLength(1);
    expect(diagnostics[0]).toMatchObject({ code: 'yaml-syntax', pointer: '', span: { line, column } });
    expect(diagnostics[0]?.message).toMatch(message);
    expect(diagnostics[0]?.remedy).toMatch(remedy);
    expect(document).toEqual({});
  });

  const missing: readonly (readonly [string, string, RegExp])[] = [
    ['a text with a comma in braces', 'a: { title: Cloth, lint-free }\n', /text with a comma in it/],
    ['the same before a key', 'a: { title: Cloth, lint-free, b: c }\n', /text with a comma in it/],
    ['a place-holder alone', 'a: {bore}\n', /starts with { stands in quotes/],
    ['a value left out', 'a: { b: , c: d }\n', /^Write the value/],
    ['a value left out of a block', 'a:\n', /^Write the value/],
  ];
  it.each(missing)('%s', (_, yaml, remedy) => {
    expect(read(yaml).diagnostics).toMatchObject([{ code: 'empty-value' }]);
    expect(read(yaml).diagnostics[0]?.remedy).toMatch(remedy);
  });

  it('does not blame a quote that is closed on a later line', () => {
    expect(read('a: "b\n  c"\nd: [\n').diagnostics[0]?.message).toMatch(/not closed/);
    expect(read('a: "b\n  c"\nd: [\n').diagnostics[0]?.span?.line).toBe(3);
  });
});

describe('comments', () => {
  it('that a number sign makes of half a text are told', () => {
    const { diagnostics, document } = read('a: b\nc: valve #2 of it\n');
    expect(document).toEqual({ a: 'b', c: 'valve' });
    expect(diagnostics).toMatchObject([
      { code: 'comment-in-text', severity: 'warning', pointer: '/c', span: { line: 2, column: 10 } },
    ]);
  });

  it.each(['a: b # of it', 'a: b## of it', 'a: "b #2"', 'a: b#2', 'a: b #', '#a\na: b'])(
    'are read as such: %s',
    (text) => expect(read(`${text}\n`).diagnostics).toEqual([]),
  );

  it('are looked for in time where very many texts stand on one line', () => {
    const before = performance.now();
    read(`a: [${'b, '.repeat(40_000)}b]\n`);
    expect(performance.now() - before).toBeLessThan(5000);
  });
});

describe('aliases', () => {
  it('repeat what was said, at their own place', () => {
    const { document, diagnostics, positions } = read('a: &x { b: [one, two] }\nc: *x\nd: [*x, three]\n');
    expect(diagnostics).toEqual([]);
    expect(document).toEqual({
      a: { b: ['one', 'two'] },
      c: { b: ['one', 'two'] },
      d: [{ b: ['one', 'two'] }, 'three'],
    });
    expect(positions.value('/c')).toMatchObject({ line: 2, column: 4, endColumn: 6 });
    expect(positions.value('/d/0')).toMatchObject({ line: 3, column: 5, endColumn: 7 });
    expect(positions.value('/d/0/b/1')).toMatchObject({ line: 1, column: 18, endColumn: 21 });
  });

  it('may not repeat more than a pack may hold', () => {
    const doubled = Array.from(
      { length: 40 },
      (_, level) => `a${level + 1}: &a${level + 1} [*a${level}, *a${level}]`,
    );
    const bomb = read(`a0: &a0 x\n${doubled.join('\n')}\n`);
    expect(new Set(bomb.diagnostics.map(({ code }) => code))).toEqual(new Set(['too-many-values']));
    expect(JSON.stringify(bomb.document).length).toBeLessThan(2_000_000);
    const long = `a: &a ${'x'.repeat(1_000_000)}\nb: [${'*a, '.repeat(1000)}*a]\n`;
    expect(codes(long)).toContain('too-many-values');
  });

  it('may not nest more than a file may', () => {
    const nested = Array.from({ length: 100 }, (_, level) => `a${level + 1}: &a${level + 1} [*a${level}]`);
    expect(new Set(codes(`a0: &a0 x\n${nested.join('\n')}\n`))).toEqual(new Set(['too-deep']));
  });
});

describe('bounds', () => {
  const nest = (levels: number) => `a: ${'['.repeat(levels)}x${']'.repeat(levels)}\n`;
  it('nesting', () => {
    expect(codes(nest(limits.depth - 1))).toEqual([]);
    expect(codes(nest(limits.depth))).toEqual(['too-deep']);
    expect(codes(nest(100_000))).toEqual(['too-deep']);
    expect(
      codes(`a:\n${Array.from({ length: 2000 }, (_, i) => `${' '.repeat(i + 1)}b:\n`).join('')}`),
    ).toEqual(['too-deep']);
  });

  it('values, in one file and over several', () => {
    const list = (count: number) => `a: [${'x,'.repeat(count - 1)}x]\n`;
    // The mapping and the list are values as well, and the key is one.
    expect(codes(list(limits.values - 3))).toEqual([]);
    expect(codes(list(limits.values + 1))).toEqual(['too-many-values']);
    const most = list(limits.values - 10);
    const files = new Map(
      ['pack', 'b', 'c'].map((name) => [
        `${name}.yaml`,
        name === 'b' ? most : `${name}: [${'x,'.repeat(20)}]`,
      ]),
    );
    const { diagnostics } = readPackFromFiles(files);
    expect(diagnostics.map(({ code }) => code)).toEqual(['too-many-values']);
  });

  it('bytes of a file', () => {
    const fill = (bytes: number) => `a: b\n#${'x'.repeat(bytes - 6)}`;
    expect(codes(fill(limits.fileBytes))).toEqual([]);
    expect(codes(fill(limits.fileBytes + 1))).toEqual(['too-large']);
  });

  it('faults of a file', () => {
    const { diagnostics } = read(`a: b\n${'a: c\n'.repeat(limits.faults + 50)}`);
    expect(diagnostics.filter(({ code }) => code === 'duplicate-key')).toHaveLength(limits.faults);
    expect(diagnostics.find(({ code }) => code === 'too-many-faults')?.message).toContain('50');
  });

  it.each([
    ['millions of items', `[${'a,'.repeat(2_000_000)}`],
    ['millions of pairs', `[${'a: ,'.repeat(1_000_000)}`],
    ['millions of lists', `[${'[],'.repeat(1_300_000)}`],
    ['millions of empty lines', `a: b\n${'\n'.repeat(4_000_000)}`],
    ['millions of documents', '---\n'.repeat(1_000_000)],
    ['millions of dashes', '-\n'.repeat(2_000_000)],
    ['a million open quotes', `a: b\n${'"'.repeat(4_000_000)}`],
    ['a million question marks', '? '.repeat(2_000_000)],
    ['a million anchors', '&a '.repeat(1_300_000)],
    ['one long word', 'a'.repeat(4_000_000)],
    ['quotes that open and close', `a: [${"'x' ".repeat(90_000)}`],
  ])('%s', (_, yaml) => {
    expect(read(yaml).diagnostics.length).toBeGreaterThan(0);
  });
});
