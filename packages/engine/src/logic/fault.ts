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
  | 'unknown-table'
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

/** What an author can do about a fault that suggests nothing by itself. */
export function expressionRemedy({ code, found, suggestion, writing }: ExpressionFault): string {
  if (suggestion !== undefined) return `Write ${suggestion}.`;
  if (writing !== undefined) return `Write ${writing}.`;
  switch (code) {
    case 'wrong-kind':
      return /^"[\d.]+"/.test(found)
        ? 'Write the number with its unit.'
        : 'Put values of one kind beside each other, with their units.';
    case 'not-a-quantity':
      return 'Write a number with its unit, or { var: name } for a reading.';
    case 'wrong-type':
      return 'Compare a value with another, such as { ">": [{ var: name }, 0.30 mm] }.';
    case 'not-one-of':
      return 'Write one of them as it is declared.';
    case 'unknown-table':
      return 'Declare it under tables.';
    case 'divides-by-zero':
      return 'Divide by a value that is not nought.';
    case 'too-deep':
    case 'too-large':
      return 'Calculate a part of it under derived, and use that.';
    default:
      return 'docs/format.md says under Expression how each form is written.';
  }
}

/** One line for an author: what was found, what was expected, and a suggestion where there is one. */
export function writeExpressionFault(fault: ExpressionFault): string {
  const suggestion = fault.suggestion === undefined ? '' : `; did you mean ${fault.suggestion}?`;
  const writing = fault.writing === undefined ? '' : `; write ${fault.writing}`;
  return `found ${fault.found}, expected ${fault.expected}${suggestion}${writing}`;
}
