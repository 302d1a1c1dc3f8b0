/** What a trial can reach of a plan. */
export type CoveredKind = keyof typeof kinds;

/** What each is called where it is counted; what has the same name is counted together. */
export const kinds = {
  step: 'steps',
  branch: 'branches',
  outcome: 'outcomes',
  answer: 'outcomes',
  identity: 'outcomes',
  rework: 'reworks',
  exhausted: 'reworks',
  hold: 'holds',
  release: 'holds',
  'used-up': 'holds',
  omission: 'aside',
  strike: 'aside',
  parking: 'aside',
  law: 'laws',
  requirement: 'laws',
} as const;

/** One thing that can be reached, at the place where it is written: the same for every bore. */
export type Mark = `${CoveredKind} ${string}`;

/** `which` tells apart what stands at one place: a side, an answer, true and false. */
export const markOf = (kind: CoveredKind, pointer: string, which = ''): Mark =>
  `${kind} ${pointer}${which === '' ? '' : ` ${which}`}`;

const isKind = (word: string): word is CoveredKind => Object.hasOwn(kinds, word);

/** The kind and the pointer that a mark is made of. */
export function partsOf(mark: Mark): { readonly kind: CoveredKind; readonly pointer: string } {
  const [kind = '', pointer = ''] = mark.split(' ');
  if (!isKind(kind)) throw new RangeError(`${mark} is no mark`);
  return { kind, pointer };
}
