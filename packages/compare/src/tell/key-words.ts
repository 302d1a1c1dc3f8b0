/** What stands under a key, as somebody calls it who does not know the written format; the key itself where that says it. */
const words: Readonly<Record<string, string>> = {
  acknowledge: 'the acknowledgement',
  'agree-within': 'how far repeated readings may lie apart',
  'at-least-probability': 'the least probability',
  attempts: 'how often it may be tried',
  by: 'who may allow it',
  capability: 'the least capability of the instrument',
  'common-error': 'the error that readings with it have in common',
  cycle: 'the crank angle of one cycle',
  cylinders: 'the number of cylinders',
  'due-next': 'what is due next',
  exhausted: 'what follows when it has been tried too often',
  'expanded-uncertainty': 'the expanded uncertainty of its calibration',
  'coverage-factor': 'the coverage factor of its calibration',
  'degrees-of-freedom': 'the degrees of freedom of its calibration',
  do: 'what is done',
  ends: 'how things have to stand at the end',
  entering: 'what it is about',
  forbid: 'what it forbids',
  given: 'what is given to it',
  'if-beyond-range': 'who may allow readings beyond its range',
  'if-inconclusive': 'what follows when nothing can be decided',
  'if-nonconforming': 'what follows when it does not conform',
  'if-overdue': 'who may allow it when its calibration is overdue',
  'if-struck': 'what follows when the entry is struck',
  is: 'how it is worked out',
  instructions: 'what is to be done before the job is left',
  'maximum-permissible-error': 'the maximum permissible error',
  'off-base': 'where the follower is off the base circle',
  'only-if': 'the condition under which it is done',
  'only-while': 'what has to be so',
  operation: 'the operation',
  per: 'what it is there once for',
  plausible: 'the plausible range',
  range: 'the range',
  redo: 'what is done again',
  'refer-to': 'the procedure that it leads to',
  release: 'who may release it, and how',
  requires: 'how things have to stand',
  'resume-at': 'where the work goes on',
  rotation: 'how the crankshaft is turned',
  says: 'what it says',
  signal: 'the signal word',
  starts: 'how things have to stand at the beginning',
  take: 'what is taken of repeated readings',
  takes: 'how long it takes',
  text: 'what it says',
  title: 'the title',
  turn: 'by how much the crankshaft is turned',
  'turn-to': 'the mark that the crankshaft is turned to',
  'turn-until': 'how far the crankshaft is turned',
  while: 'when it holds',
  witness: 'who looks at it besides',
  'together-with': 'who does it together with the technician',
};

/** What stands under a key, in words. */
export const keyWords = (key: string): string => words[key] ?? `the ${key.replaceAll('-', ' ')}`;

/** What is said when something more, or something less, is named under a key. */
const lists: Readonly<Record<string, readonly [more: string, less: string]>> = {
  afterwards: [
    'it asks at its end that these are confirmed too',
    'it no longer asks at its end that these are confirmed',
  ],
  conditions: [
    'it asks before it begins that these are confirmed too',
    'it no longer asks before it begins that these are confirmed',
  ],
  conforming: ['these answers are conforming now', 'these answers are no longer conforming'],
  disturbs: ['it makes these readings no longer count', 'it no longer makes these readings stop counting'],
  ends: ['it may now end as these too', 'it may no longer end as these'],
  equipment: ['it asks for this equipment too', 'it no longer asks for this equipment'],
  forbid: ['it forbids these operations too', 'it no longer forbids these operations'],
  hazards: ['these hazards are shown now', 'these hazards are no longer shown'],
  'matched-with': ['it is kept together with these too', 'it is no longer kept together with these'],
  'on-resuming': [
    'it asks when the job is taken up again that these are confirmed too',
    'it no longer asks when the job is taken up again that these are confirmed',
  ],
  operation: [
    'it counts as these operations too, which laws speak of',
    'it no longer counts as these operations, which laws speak of',
  ],
  persons: ['it asks for these persons too', 'it no longer asks for these persons'],
  read: ['these readings are taken too', 'these readings are no longer taken'],
  remove: ['these parts are taken off too', 'these parts are no longer taken off'],
  renew: ['these parts have to be new ones', 'these parts no longer have to be new ones'],
  safety: [
    'these hazards are shown now before the work begins',
    'these hazards are no longer shown before the work begins',
  ],
  spares: ['it asks for these spares too', 'it no longer asks for these spares'],
  supplies: ['it asks for these supplies too', 'it no longer asks for these supplies'],
  throughout: [
    'the reading has to stay within these limits too while it is watched',
    'the reading no longer has to stay within these limits while it is watched',
  ],
  variants: ['it is for these engines too', 'it is no longer for these engines'],
  with: ['these are used too', 'these are no longer used'],
};

/** What came to a list, or went from it, in words. */
export function listWords(key: string, isMore: boolean): string {
  const [more, less] = lists[key] ?? [
    `${keyWords(key)} is now these too`,
    `${keyWords(key)} is no longer these`,
  ];
  return isMore ? more : less;
}

/** What a mark of yes says, and what it says that it is gone. */
const marks: Readonly<Record<string, readonly [yes: string, no: string]>> = {
  'accept-new': ['a new part may be taken', 'no new part may be taken any more'],
  acknowledge: ['it has to be acknowledged now', 'it no longer has to be acknowledged'],
  calibrated: ['its calibration is asked for now', 'its calibration is no longer asked for'],
  'loses-crank': [
    'the position of the crankshaft counts as lost now',
    'the position of the crankshaft no longer counts as lost',
  ],
  safety: ['it is a hold for safety now', 'it is no longer a hold for safety'],
  'single-use': ['it may be used only once now', 'it may be used more than once now'],
  'tied-to-bore': ['it belongs to one bore now', 'it no longer belongs to one bore'],
};

/** That something is so now, or is no longer so; undefined for a key that is no mark. */
export const markWords = (key: string, isYes: boolean): string | undefined => marks[key]?.[isYes ? 0 : 1];
