/** What a change does, each with the sentence that explains it to a reader. */
export const changeClasses = {
  'caution-removed': 'A hazard is no longer shown where it was.',
  'caution-severity': 'A hazard has another signal word, or is acknowledged otherwise.',
  weakened: 'A law, requirement or confirmation protects less than it did.',
  loosened: 'Limits accept what they refused.',
  shifted: 'Limits accept some of what they refused, and refuse some of what they accepted.',
  'rule-changed': 'A verdict or a condition is worked out in another way.',
  'instrument-changed': 'A reading is taken with another instrument, or an instrument is another.',
  'hold-changed': 'What follows a bad result, or who releases a hold, is another.',
  'plan-changed': 'The engine, or the way in which the crankshaft is turned, is another.',
  'caution-added': 'A hazard is shown where it was not.',
  strengthened: 'A law, requirement or confirmation protects more than it did.',
  tightened: 'Limits refuse what they accepted.',
  removed: 'Something is no longer there.',
  added: 'Something is there that was not.',
  changed: 'A value of the work, or the work itself, is another.',
  moved: 'The same is done at another place.',
  'variant-removed': 'The procedures are no longer for this engine.',
  'variant-added': 'The procedures are for one more engine.',
  renamed: 'The same thing has another name.',
  restated: 'The same value is written otherwise.',
  reworded: 'The same is said in other words.',
  'source-changed': 'A value is said to be from elsewhere.',
} as const;

export type ChangeClass = keyof typeof changeClasses;

/** What a change weighs, the heaviest first. */
export const changeWeights = ['safety', 'conformity', 'work', 'wording'] as const;
export type Weight = (typeof changeWeights)[number];

/** One side of a change: where it stands, and what stands there. */
export interface Stated {
  /** In the document of that revision, RFC 6901. */
  readonly pointer: string;
  /** As it is written, or in words. Empty for something as a whole. */
  readonly says: string;
  /** The same in the other system of units, where that can be said. */
  readonly other?: string;
}

/** A limit, to be drawn: in the base unit of its kind, and as a reader says it. */
export interface Limit {
  readonly at: number;
  readonly says: string;
}

/** What is permitted, from the lower limit to the upper one. One that is missing: there is no end to that side. */
export interface Span {
  readonly low?: Limit;
  readonly high?: Limit;
}

/** One thing that one revision has otherwise than the other. */
export interface Change {
  readonly change: ChangeClass;
  readonly weight: Weight;
  /** What it does to the protection of people or of conformity; missing where it does neither, or both. */
  readonly effect?: 'weaker' | 'stronger';
  /** What kind of thing it is about, as the format calls it: `tolerance`, `step`. */
  readonly kind: string;
  /** Its name with what is around it: `set-pumps/shift-limits`. */
  readonly name: string;
  /** Which of its keys, where it is not about the whole. */
  readonly key?: string;
  readonly before?: Stated;
  readonly after?: Stated;
  /** The variants that it is about, where not all. */
  readonly variants?: readonly string[];
  /** Of a permitted range, the numbers of both revisions: once for all variants that have the same. */
  readonly limits?: readonly {
    readonly variants: readonly string[];
    readonly before: Span;
    readonly after: Span;
  }[];
}

/** The classes, those that a reader looks at first on top. */
export const changeClassNames = Object.keys(changeClasses);

/** The order for a reader: what protects less stands on top, then by weight, class and name. */
export function compareChanges(a: Change, b: Change): number {
  const rank = ({ effect, weight, change }: Change): number =>
    (effect === 'weaker' ? 0 : 1000) + changeWeights.indexOf(weight) * 100 + changeClassNames.indexOf(change);
  return rank(a) - rank(b) || (a.name < b.name ? -1 : a.name > b.name ? 1 : 0);
}
