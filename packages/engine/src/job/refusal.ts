/** Why a command was not taken: a code, what was found and expected, and what to do. Nothing has changed. */
export interface Refusal {
  readonly code: RefusalCode;
  readonly message: string;
  readonly remedy: string;
  /** The law, the step, the entry or the instrument that it is about. */
  readonly about?: string;
}

export const refusalCodes = [
  'interlock',
  'requirement',
  'change-from',
  'not-offered',
  'not-a-number',
  'doubtful-number',
  'wrong-unit',
  'wrong-quantity',
  'implausible',
  'beyond-instrument',
  'beyond-scale',
  'other-instrument',
  'instrument-overdue',
  'instrument-missing',
  'wrench-length',
  'unknown-answer',
  'wrong-shape',
  'identity-in-use',
  'unexpected-identity',
  'too-old',
  'from-the-future',
  'other-engine',
  'not-carryable',
  'origin-struck',
  'origin-nonconforming',
  'same-person',
  'wrong-role',
  'too-soon',
  'stale-sequence',
  'job-closed',
  'job-parked',
  'no-concession',
  'states-for-parking',
  'not-confirmed',
  'empty',
  'too-long',
  'unknown-person',
  'nothing-to-strike',
  'no-way-back',
  'bad-time',
  'not-held',
] as const;

export type RefusalCode = (typeof refusalCodes)[number];
