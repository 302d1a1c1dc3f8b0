import { looksLike } from './look-alike.ts';
import type { Refusal } from './refusal.ts';
import { refusedText } from './said.ts';

const LONGEST_NAME = 100;

/** Signs that cannot be seen, or that change how the others are read: two names would look like one. */
export const unseen = /[\p{C}\p{Zl}\p{Zp}\p{Default_Ignorable_Code_Point}\u2800]/u;

/** A name of a person as it is kept: without space around it, one space between its parts, accents composed. */
export const personName = (text: string): string =>
  text
    .trim()
    .replace(/\p{Zs}+/gu, ' ')
    .normalize('NFC');

/** A refusal of a name that looks like that of somebody else, and is written otherwise: two persons could be one. */
export function alikePerson(person: string, others: readonly string[]): Refusal | undefined {
  const other = others.find((one) => one !== person && looksLike(one, person));
  if (other === undefined) return undefined;
  return {
    code: 'same-person',
    message: `${person} and ${other} look like one name.`,
    remedy: 'Write the name of one person in one way; where they are two, write more of both names.',
    about: person,
  };
}

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
