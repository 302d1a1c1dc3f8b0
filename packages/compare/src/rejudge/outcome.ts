import type { WrittenVerdict } from '@ferrule/engine';

/** Why something cannot be judged by the newer revision, each with the sentence that explains it. */
export const cannotReasons = {
  'no-such-reading': 'It rests on a reading that did not exist then.',
  'other-quantity': 'The reading is of another quantity now.',
  'fewer-repeats': 'The reading was taken fewer times than it is now.',
  struck: 'What it rests on was struck, and not taken again.',
  'left-out': 'The step was left out as not applicable.',
  'not-taken': 'The job did not come past it: another branch, no rework, or it ended before.',
  'not-counting': 'A reading that it rests on did not count any more when the verdict was given.',
  'uncertainty-unknown': 'The rule needs the uncertainty, and of the instrument it is not known.',
  'no-such-answer': 'The answer that was given is none of the answers any more.',
  'other-serial-numbers': 'What is asked of the serial number has changed, and is not looked at again.',
  'no-such-time': 'It rests on a time that was not kept.',
  'no-value': 'Nothing can be worked out of what was recorded.',
} as const;

export type CannotReason = keyof typeof cannotReasons;

/** Every reason, for whoever lists them. */
export const cannotReasonNames = Object.keys(cannotReasons);

/** What becomes of a verdict. */
export const outcomes = ['same', 'changed', 'untouched', 'added', 'gone', 'cannot', 'unexplained'] as const;

/** What a verdict becomes. */
export type Becomes =
  /** Not judged again: nothing that it depends on has changed. */
  | { readonly outcome: 'untouched'; readonly was: WrittenVerdict }
  | { readonly outcome: 'same' | 'changed'; readonly was: WrittenVerdict; readonly is: WrittenVerdict }
  /** Another verdict than the record has, and nothing in the revisions that explains it: a defect. */
  | { readonly outcome: 'unexplained'; readonly was: WrittenVerdict; readonly is: WrittenVerdict }
  /** It was not judged then. */
  | { readonly outcome: 'added'; readonly is: WrittenVerdict }
  /** It is not judged any more. */
  | { readonly outcome: 'gone'; readonly was: WrittenVerdict }
  | {
      readonly outcome: 'cannot';
      readonly was?: WrittenVerdict;
      readonly because: CannotReason;
      /** The readings that it is about, by their new names. */
      readonly names: readonly string[];
    };

/** What became of one measure in one job. */
export type Outcome = {
  /** Its place among the measures of the judge. */
  readonly measure: number;
  /** The fact of the verdict then. */
  readonly seq?: number;
} & Becomes;
