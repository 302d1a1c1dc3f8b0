import { writeType } from './type.ts';
import type { Typed } from './typed.ts';

/** A part of an expression, and the pointer to it. */
export type Place = { readonly json: unknown; readonly at: string };
/** A scalar whose type its neighbours decide. `bare`: it stands in a named form, where it could be a name. */
export type Open = {
  readonly node: 'open';
  readonly text: string;
  readonly at: string;
  readonly bare: boolean;
};
/** Undefined: a fault has been reported, and nothing that follows from it is worth reporting. */
export type Draft = Typed | Open | undefined;
/** What has been made of the part at a pointer. */
export type Placed<T> = { readonly draft: T; readonly at: string };

/** What a draft is, for a fault. */
export function described(draft: Draft): string {
  if (!draft) return 'nothing';
  return draft.node === 'open' ? `the text ${quoted(draft.text)}` : writeType(draft.type);
}

/** A text between quotation marks, cut when it is long. */
export const quoted = (text: string): string =>
  JSON.stringify(text.length > 40 ? `${text.slice(0, 39)}…` : text);

/** Whether every one has come out, so that what they are operands of can be made. */
export function every<T>(list: readonly (T | undefined)[]): list is readonly T[] {
  return list.every((member) => member !== undefined);
}
