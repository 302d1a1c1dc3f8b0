/** The words of a text in lower case, plurals as their singular: `O-rings, brown` has o, ring and brown. */
export const wordsOf = (text: string): readonly string[] =>
  (text.toLowerCase().match(/\p{L}+/gu) ?? []).map(singular);

const singular = (word: string): string =>
  word.length > 3 && word.endsWith('s') && !word.endsWith('ss') ? word.slice(0, -1) : word;

/** Words that say nothing of what is named. */
const small: ReadonlySet<string> = new Set(
  'a an the of and or for to at with its it one each their his from by as is are be'.split(' '),
);

/** The words by which people know something that is declared: those of its name, and of its title if it has one. */
export const namingWords = (id: string, title = ''): ReadonlySet<string> =>
  new Set([...wordsOf(id), ...wordsOf(title)].filter((word) => !small.has(word)));

/** Whether the words of a name stand in a text one after the other. */
export const namesInFull = (text: readonly string[], id: string): boolean => placeOf(text, id) >= 0;

/** Where the words of a name begin in a text, −1 if they are not there one after the other. */
export function placeOf(text: readonly string[], id: string): number {
  const name = wordsOf(id);
  return text.findIndex((_, at) => name.every((word, i) => text[at + i] === word));
}
