import type { Change, ChangeClass } from '../change.ts';

/** How far apart two revisions are, the least first. */
export const revisionLevels = ['none', 'patch', 'minor', 'major'] as const;
export type Level = (typeof revisionLevels)[number];

/**
 * What a change of a class asks of the number of the revision. Patch: nothing is done, read or decided otherwise. Minor:
 * whoever works by the newer revision has still met all that the older one asked for. Major: not so, or it cannot be told.
 */
interface Needs {
  /** Where it protects neither more nor less, or that cannot be told. */
  readonly else: Level;
  readonly stronger?: Level;
  /** Where it touches the wording alone. */
  readonly wording?: Level;
  /** Where it touches the work alone. */
  readonly work?: Level;
  /** Where it touches what protects people. */
  readonly safety?: Level;
  /** The same in a sentence. */
  readonly because: string;
}

/** Whatever protects less is major; this table says the rest, class by class. */
export const needs: Readonly<Record<ChangeClass, Needs>> = {
  'caution-removed': { else: 'major', because: 'Somebody is no longer warned.' },
  'caution-severity': {
    else: 'major',
    stronger: 'minor',
    because:
      'A stronger signal word or an acknowledgement more asks for more; any other change may warn less.',
  },
  weakened: { else: 'major', because: 'What the older revision asked for is no longer met.' },
  loosened: { else: 'major', because: 'What was refused is accepted.' },
  shifted: { else: 'major', because: 'Some of what was refused is accepted.' },
  'rule-changed': {
    else: 'major',
    stronger: 'minor',
    because: 'It is worked out otherwise, and only a stricter decision rule is known to accept nothing more.',
  },
  'instrument-changed': {
    else: 'major',
    stronger: 'minor',
    because: 'Only of a better instrument is it known that every reading still holds.',
  },
  'hold-changed': {
    else: 'major',
    stronger: 'minor',
    because: 'A bad result leads elsewhere, or somebody else decides on it.',
  },
  'plan-changed': { else: 'major', because: 'The crankshaft is turned otherwise.' },
  'caution-added': { else: 'minor', because: 'There is one warning more.' },
  strengthened: { else: 'minor', because: 'More is asked for than before.' },
  tightened: { else: 'minor', because: 'Whatever is accepted was accepted before.' },
  removed: {
    else: 'major',
    work: 'minor',
    wording: 'patch',
    because: 'What protects or decides is gone. Of the work alone it is minor; a trial is no work.',
  },
  added: {
    else: 'minor',
    wording: 'patch',
    because: 'There is more than before. A trial is no work.',
  },
  changed: {
    else: 'major',
    stronger: 'minor',
    work: 'minor',
    wording: 'patch',
    because: 'A value that protects or decides is another; a value of the work alone is minor.',
  },
  moved: { else: 'minor', because: 'The same is done, and the laws still hold.' },
  'variant-removed': { else: 'major', because: 'An engine is no longer served.' },
  'variant-added': { else: 'minor', because: 'One engine more is served.' },
  renamed: { else: 'minor', because: 'Overlays and answers that name it have to follow.' },
  restated: { else: 'patch', because: 'The value is the same.' },
  reworded: {
    else: 'patch',
    safety: 'minor',
    because: 'Words that protect people have to be read again by a person; others decide nothing.',
  },
  'source-changed': { else: 'patch', because: 'The value is the same.' },
};

/** What a change asks of the number of the revision. */
export function needsOf({ change, weight, effect }: Pick<Change, 'change' | 'weight' | 'effect'>): Level {
  if (effect === 'weaker') return 'major';
  const row = needs[change];
  if (effect === 'stronger' && row.stronger !== undefined) return row.stronger;
  if (weight === 'wording' && row.wording !== undefined) return row.wording;
  if (weight === 'work' && row.work !== undefined) return row.work;
  if (weight === 'safety' && row.safety !== undefined) return row.safety;
  return row.else;
}

/** The highest of some revisionLevels. */
export const highest = (some: Iterable<Level>): Level =>
  [...some].reduce<Level>(
    (most, one) => (revisionLevels.indexOf(one) > revisionLevels.indexOf(most) ? one : most),
    'none',
  );
