import type { Refusal } from './refusal.ts';
import { refusedText } from './said.ts';

const LONGEST_NAME = 100;

/** Signs that cannot be seen, or that change how the others are read: two names would look like one. */
const unseen = /[\p{C}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}\u2800]/u;

/** A name of a person as it is kept: without space around it, one space between its parts, accents composed. */
export const personName = (text: string): string =>
  text
    .trim()
    .replace(/\p{Zs}+/gu, ' ')
    .normalize('NFC');

/** A refusal of a name that cannot tell one person from another, or undefined. */
export function refusedName(text: string): Refusal | undefined {
  const refused = refusedText(text, 'The name', LONGEST_NAME);
  if (refused !== undefined) return refused;
  if (!unseen.test(text.trim())) return undefined;
  return {
    code: 'wrong-shape',
    message: 'The name contains a sign that cannot be seen.',
    remedy: 'Type the name again.',
  };
}
