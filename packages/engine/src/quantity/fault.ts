import { type Kind, kindName } from './kind.ts';

/** Why a text is no quantity: what was found, what was expected, and what to write instead where that is known. */
export type QuantityFault =
  | { readonly code: 'empty' }
  | { readonly code: 'too-long'; readonly length: number; readonly limit: number }
  | { readonly code: 'not-a-number'; readonly found: string }
  | { readonly code: 'fraction'; readonly found: string; readonly instead?: string }
  | { readonly code: 'exponent'; readonly found: string }
  | { readonly code: 'leading-zeros'; readonly found: string; readonly instead: string }
  | { readonly code: 'bare-point'; readonly found: string; readonly instead: string }
  | { readonly code: 'decimal-comma'; readonly found: string; readonly instead: string }
  | { readonly code: 'doubtful-number'; readonly found: string; readonly readings: readonly string[] }
  | {
      readonly code: 'missing-unit';
      readonly found: string;
      readonly expected?: Kind;
      readonly units: readonly string[];
    }
  | { readonly code: 'unknown-unit'; readonly found: string; readonly suggestions: readonly string[] }
  | { readonly code: 'inexact-unit'; readonly found: string; readonly instead: string }
  | {
      readonly code: 'wrong-kind';
      readonly found: Kind;
      readonly unit: string;
      readonly expected: Kind;
      readonly units: readonly string[];
    }
  | { readonly code: 'not-whole'; readonly found: string }
  | { readonly code: 'not-a-statement'; readonly found: string };

const oneOf = (all: readonly string[]): string =>
  all.map((text) => `"${text}"`).join(all.length > 2 ? ', ' : ' or ');

const named = (kind: Kind): string => `${kind.startsWith('angle') ? 'an' : 'a'} ${kindName(kind)}`;

/** The fault as a sentence for the person who wrote the text. */
export function describeQuantityFault(fault: QuantityFault): string {
  switch (fault.code) {
    case 'empty':
      return 'Nothing was entered.';
    case 'too-long':
      return `A quantity has at most ${fault.limit} characters; this has ${fault.length}.`;
    case 'not-a-number':
      return `"${fault.found}" does not start with a plain decimal number.`;
    case 'fraction':
      return `"${fault.found}" is a fraction: write ${fault.instead === undefined ? 'a decimal number' : `"${fault.instead}"`}.`;
    case 'exponent':
      return `"${fault.found}" has an exponent: write the number out.`;
    case 'leading-zeros':
      return `"${fault.found}" starts with a needless zero: write "${fault.instead}" if that is meant.`;
    case 'bare-point':
      return `"${fault.found}" needs a digit on both sides of the decimal point: write "${fault.instead}" if that is meant.`;
    case 'decimal-comma':
      return `"${fault.found}" has a comma: write "${fault.instead}" with a decimal point.`;
    case 'doubtful-number':
      return fault.readings.length > 1
        ? `"${fault.found}" can be read as ${oneOf(fault.readings)}: write the one that is meant.`
        : `"${fault.found}" has digits in groups: write ${fault.readings.length === 1 ? `${oneOf(fault.readings)} if that is meant` : 'the number without them'}.`;
    case 'missing-unit':
      return `"${fault.found}" has no unit${fault.expected === undefined ? '' : `; ${named(fault.expected)} is expected, in ${oneOf(fault.units)}`}.`;
    case 'unknown-unit':
      // A letter that looks like a nought was typed at the end of the number.
      if (/^[Oo]+[\s.\d]/.test(fault.found))
        return `"${fault.found.trim()}" begins with the letter ${fault.found.charAt(0)}: write the figure 0 if that is meant.`;
      return `"${fault.found}" is not a known unit${fault.suggestions.length === 0 ? '' : `; did you mean ${oneOf(fault.suggestions)}?`}${fault.suggestions.length === 0 ? '.' : ''}`;
    case 'inexact-unit':
      return `"${fault.found}" has no exact value here: write the angle in "${fault.instead}".`;
    case 'wrong-kind':
      return `"${fault.unit || 'a plain number'}" is ${named(fault.found)}; ${named(fault.expected)} is expected, in ${oneOf(fault.units)}.`;
    case 'not-whole':
      return `"${fault.found}" is not a whole number: a count is.`;
    case 'not-a-statement':
      return `"${fault.found}" is not a value, or a value followed by another in brackets.`;
  }
}
