/** Why an expression cannot be typed. */
export type ExpressionFaultCode =
  | 'not-an-expression'
  | 'not-one-key'
  | 'unknown-operator'
  | 'refused-operator'
  | 'wrong-count'
  | 'wrong-shape'
  | 'bad-name'
  | 'undeclared-name'
  | 'not-a-quantity'
  | 'not-a-whole-number'
  | 'wrong-type'
  | 'wrong-kind'
  | 'not-one-of'
  | 'divides-by-zero'
  | 'too-deep'
  | 'too-large';

export interface ExpressionFault {
  readonly code: ExpressionFaultCode;
  /** RFC 6901 pointer into the expression; the whole of it is the empty text. */
  readonly at: string;
  readonly found: string;
  readonly expected: string;
  /** What the author may have meant to write. */
  readonly suggestion?: string;
  /** How the named form that the fault is in is written: `difference: [a, b]`. */
  readonly writing?: string;
}

/** One line for an author: what was found, what was expected, and a suggestion where there is one. */
export function writeExpressionFault(fault: ExpressionFault): string {
  const suggestion = fault.suggestion === undefined ? '' : `; did you mean ${fault.suggestion}?`;
  const writing = fault.writing === undefined ? '' : `; write ${fault.writing}`;
  return `found ${fault.found}, expected ${fault.expected}${suggestion}${writing}`;
}
