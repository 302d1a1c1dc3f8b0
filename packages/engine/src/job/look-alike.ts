/** Letters of Cyrillic and Greek that are drawn like Latin ones, and those (Unicode Technical Standard 39, from memory). */
const drawn = ['авекмнорстухіјѕԁһӏαβεζηικμνορτυχ', 'abekmhopctyxijsdhlabezhikmnoptyx'] as const;
const latin = new Map([...drawn[0]].map((letter, place) => [letter, [...drawn[1]][place] ?? letter]));

/** Whether two names look like one: the same but for capitals, width, or letters of another script that look the same. */
export const looksLike = (one: string, other: string): boolean => skeleton(one) === skeleton(other);

const skeleton = (name: string): string =>
  [...name.normalize('NFKC').toLowerCase()].map((letter) => latin.get(letter) ?? letter).join('');
