import type { WordsByKind } from './words-in-use.ts';

export interface RegisterEntry {
  readonly word: string;
  readonly kind: string;
  readonly origin: string;
  readonly meaning: string;
}

export interface Register {
  readonly entries: readonly RegisterEntry[];
  /** Names of the standards that an origin may give. */
  readonly standards: readonly string[];
}

const cellsOf = (line: string): readonly string[] =>
  line
    .replace(/^\||\|\s*$/g, '')
    .split(/(?<!\\)\|/)
    .map((cell) => cell.trim().replaceAll('\\|', '|'));

/** Reads the register: tables of four columns are entries, the table under Standards names the standards. */
export function readRegister(markdown: string): Register {
  const entries: RegisterEntry[] = [];
  const standards: string[] = [];
  let heading = '';
  for (const line of markdown.split('\n')) {
    if (line.startsWith('#')) heading = line;
    if (!line.startsWith('|') || /^\|[\s:|-]+$/.test(line)) continue;
    const [first = '', second = '', third, fourth] = cellsOf(line);
    if (first === 'word' || first === 'standard') continue;
    if (/Standards$/.test(heading)) standards.push(first);
    else
      entries.push({
        word: first.replace(/^`(.*)`$/, '$1'),
        kind: second,
        origin: third ?? '',
        meaning: fourth ?? '',
      });
  }
  return { entries, standards };
}

/** Every disagreement between the register and the words in use, as lines to read. */
export function registerFaults(register: Register, inUse: WordsByKind): readonly string[] {
  const faults: string[] = [];
  const origins = ['trade', 'own', ...register.standards];
  const registered = new Set<string>();
  for (const { word, kind, origin, meaning } of register.entries) {
    const key = `${kind} ${word}`;
    if (registered.has(key)) faults.push(`twice: ${word} (${kind})`);
    registered.add(key);
    if (!origins.includes(origin))
      faults.push(`origin is none of trade, own, a listed standard: ${word} (${kind})`);
    if (meaning === '') faults.push(`without a meaning: ${word} (${kind})`);
    if (inUse.get(kind)?.has(word) !== true) faults.push(`no longer in use: ${word} (${kind})`);
  }
  for (const [kind, words] of inUse)
    for (const word of words)
      if (!registered.has(`${kind} ${word}`))
        faults.push(`not in the register: | \`${word}\` | ${kind} | | |`);
  const named = new Set(register.entries.map(({ origin }) => origin));
  for (const standard of register.standards)
    if (!named.has(standard)) faults.push(`a standard that no word is from: ${standard}`);
  return faults;
}
