import type { LineReader } from './line-reader.ts';

/** What a word says to a question of yes or no; undefined when it is neither. */
export function yesOrNo(text: string): boolean | undefined {
  const word = text.trim().toLowerCase();
  if (word === 'yes' || word === 'y') return true;
  return word === 'no' || word === 'n' ? false : undefined;
}

/** Asks until yes or no is typed; undefined when the input ends. */
export async function askYesNo(
  reader: LineReader,
  prompt = '  yes or no? > ',
  say: (text: string) => void = () => undefined,
): Promise<boolean | undefined> {
  for (;;) {
    const line = await reader.ask(prompt);
    if ('end' in line) return undefined;
    const answer = yesOrNo(line.text);
    if (answer !== undefined) return answer;
    say('  Type yes or no; y and n do as well.');
  }
}
