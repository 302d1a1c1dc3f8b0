import type { Refusal } from './refusal.ts';

const LONGEST_REASON = 1000;

/** A refusal of a text that a person has to give, or undefined: it must be there, and not without end. */
export function refusedText(text: string, what: string, longest = LONGEST_REASON): Refusal | undefined {
  if (text.trim() === '')
    return { code: 'empty', message: `${what} is missing.`, remedy: 'Say it in a few words.' };
  if ([...text].length > longest) {
    return {
      code: 'too-long',
      message: `${what} has more than ${longest} characters.`,
      remedy: 'Say it more shortly.',
    };
  }
  return undefined;
}
