import { type Insert, type Markup, markup } from '../markup.ts';

/** A box to tick, and what it says when it is ticked. */
export const tick = (words: Insert): Markup =>
  markup`<span class="tick"><span class="box" role="img" aria-label="box to tick"></span>${words === '' ? undefined : markup` ${words}`}</span>`;

/** A box to tick with a letter in it, which saves the room beside it. */
export const lettered = (letter: string, words: Insert = ''): Markup =>
  markup`<span class="tick"><span class="box lettered" role="img" aria-label="box to tick: ${letter}">${letter}</span>${words === '' ? undefined : markup` ${words}`}</span>`;

/** A box to write in; `after` stands behind it, as the unit does, and `before` in front of it. */
export const blank = (
  size: 'short' | 'long' | 'narrow' | 'wide',
  after: Insert = '',
  before: Insert = '',
): Markup =>
  markup`<span class="entry">${before === '' ? undefined : markup`<span class="label">${before}</span> `}<span class="blank ${size}" role="img" aria-label="box to write in"></span>${after === '' ? undefined : markup` <span class="unit">${after}</span>`}</span>`;

/** A line to sign on. */
export const signature = (words: Insert): Markup =>
  markup`<span class="signature"><span class="says">${words}</span><span class="line"></span><span class="says">date</span><span class="line date"></span></span>`;
