/**
 * Every code that a diagnostic can carry. The list is closed so that each code can have its page in the
 * docs and its test; add a code by adding a line to the group of the part that reports it.
 */
export const diagnosticCodes = [
  // source: the folder and its files
  'missing-folder',
  'missing-manifest',
  'unreadable-file',
  'symbolic-link',
  'irregular-file',
  'file-name',
  'stray-file',
  'too-many-files',
  'too-large',
  // source: the text of one file
  'invalid-utf8',
  'bad-character',
  'yaml-syntax',
  'yaml-tag',
  'yaml-directive',
  'several-documents',
  'empty-file',
  'not-a-mapping',
  'too-deep',
  'too-many-values',
  'too-many-faults',
  // source: keys and values
  'duplicate-key',
  'forbidden-key',
  'bad-key',
  'merge-key',
  'bad-alias',
  'empty-value',
  // source: files merged into one document
  'missing-id',
  'section-conflict',
  'unexpected-key',
  // source: bundles
  'bundle-syntax',
  'bundle-format',
  // model: the written form
  'unknown-key',
  'missing-key',
  'wrong-form',
  'wrong-value',
  // model: names
  'unknown-name',
  'unused-name',
  'duplicate-name',
  'needs-bore',
  'not-exported',
  'recursive-procedure',
  'never-taken',
  'never-judged',
  'unasked-role',
  'unknown-place-holder',
  // model: values, expressions and limits
  'bad-quantity',
  'wrong-quantity',
  'dual-disagrees',
  'temperature-conversion',
  'reversed-pair',
  'mixed-limits',
  'odd-fact',
  'bad-expression',
  'same-twice',
  'corrected-twice',
  'swapped-change',
  'single-bore',
  'bad-shape',
  'beyond-instrument',
  'cannot-fail',
  'cannot-conform',
  'idle-condition',
  // model: the crank
  'crank-data',
  'no-crank',
  'no-rotation-plan',
  // model: steps
  'no-verb',
  'several-verbs',
  'several-checks',
  'no-remedy',
  'needless-remedy',
  'change-without-act',
  'resume-at',
  'safety-concession',
  'too-many-steps',
  // proof
  'law-broken',
  'dead-end',
  'wrong-end',
  'unreachable',
  'unfinished-proof',
] as const;

export type DiagnosticCode = (typeof diagnosticCodes)[number];
