import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readRegister, registerFaults } from './word-register.ts';
import { wordsInUse, wordsOfHelp, wordsOfModules, wordsOfSchema } from './words-in-use.ts';
import { labelsIn } from './words-of-page.ts';

const register = readRegister(readFileSync(new URL('../../docs/words.md', import.meta.url), 'utf8'));

describe('the register of words', () => {
  it('agrees with every word in use', async () => {
    const { words, unknownLists } = await wordsInUse();
    expect(unknownLists, 'exported lists whose kind words-in-use.ts does not know').toEqual([]);
    for (const kind of ['format key', 'format word', 'refusal', 'diagnostic code', 'option'])
      expect(words.get(kind)?.size ?? 0, kind).toBeGreaterThan(1);
    expect(registerFaults(register, words)).toEqual([]);
  });
});

describe('the words check bites', () => {
  const page = (rows: string): string =>
    `# Words\n\n| word | kind | origin | meaning |\n|---|---|---|---|\n${rows}\n\n## Standards\n\n| standard | what it is |\n|---|---|\n| ISO 1 | about one |\n`;
  const good = '| `step` | format key | trade | a piece of work |\n| `\\|` | operator | ISO 1 | either |';
  const inUse = new Map([
    ['format key', new Set(['step'])],
    ['operator', new Set(['|'])],
  ]);
  const cases: readonly (readonly [string, string, RegExp])[] = [
    ['a word that is not in it', good.split('\n').slice(1).join('\n'), /not in the register: .*step/],
    ['a word that is gone', `${good}\n| \`block\` | format key | own | steps |`, /no longer in use: block/],
    ['a word of another kind', good.replace('format key', 'verb'), /no longer in use: step \(verb\)/],
    ['a word twice', `${good}\n| \`step\` | format key | own | again |`, /twice: step/],
    ['an unknown origin', good.replace('trade', 'heard somewhere'), /origin is none of/],
    ['no meaning', good.replace('a piece of work', ''), /without a meaning: step/],
    ['a standard without words', good.replace('ISO 1', 'own'), /no word is from: ISO 1/],
  ];
  it('not on a register in order', () => {
    expect(registerFaults(readRegister(page(good)), inUse)).toEqual([]);
  });
  it.each(cases)('on %s', (_, rows, expected) => {
    expect(registerFaults(readRegister(page(rows)), inUse).join('\n')).toMatch(expected);
  });

  it('and finds the words of a schema at every depth', () => {
    const words = wordsOfSchema({
      properties: { format: { const: '1' }, enum: { $ref: '#/$defs/Kind' } },
      $defs: {
        Kind: {
          anyOf: [{ enum: ['one', 'two'] }, { properties: { deep: { if: { properties: { last: {} } } } } }],
        },
        RefusalCode: { enum: ['no'] },
      },
    });
    expect(Object.fromEntries([...words].map(([kind, set]) => [kind, [...set].sort()]))).toEqual({
      'format key': ['deep', 'enum', 'format', 'last'],
      'format word': ['1', 'one', 'two'],
      refusal: ['no'],
    });
  });
  it('and finds exported lists, named or not', () => {
    const { words, unknownLists } = wordsOfModules([
      { diagnosticCodes: ['a-code'], numbers: [1, 2], label: 'x', surprise: ['a', 'b'] },
    ]);
    expect(words.get('diagnostic code')).toEqual(new Set(['a-code']));
    expect(unknownLists).toEqual(['surprise']);
  });
  it('and finds the labels of the page, each with the element that it stands in', () => {
    const code = `jsxs("label", { class: "x", children: ["Who", jsx("input", { name: "no" }), isIt ? "yes, it is" : "…"] });
      jsx("p", { children: "prose" });
      jsx("button", { onClick: () => go("nowhere"), children: jsx("span", { children: "inside" }) });
      jsx(Field, { label: "Why it is so", value: "no label", onValue });
      jsx(Field, { ...more, label: isIt ? title : \`\${title}: on it\`, name: "no" });
      const stateWords = { open: "being worked on", held: "on hold" }, other = { no: "label" };`;
    expect(labelsIn(code)).toEqual([
      ...['Who', 'yes, it is', 'Why it is so', ': on it'],
      ...['being worked on', 'on hold'],
    ]);
  });

  it('and reads a help text', () => {
    const help =
      'Usage: ferrule [options] [command]\n\nOptions:\n  -V, --version        output the version\n  --format <format>    text or json (default: "text", see\n                       --nothing)\n\nCommands:\n  check <packs...>     every diagnostic\n  run|r [options]      a job\n';
    expect(wordsOfHelp(help)).toEqual({ verbs: ['check', 'run'], options: ['--version', '--format'] });
  });
});
