import type { ComparedLimit, ComparedSpan } from '@ferrule/compare/document';
import { parseQuantity } from '@ferrule/engine';

/** Limits in words as numbers to draw them by; undefined where they say nothing that can be drawn. */
export function spanInWords(words = ''): ComparedSpan | undefined {
  const [, least] = /^at least (.+)$/.exec(words) ?? [];
  const [, most] = /^at most (.+)$/.exec(words) ?? [];
  const [, from = least, to = most] = /^(.+) to (.+)$/.exec(words) ?? [];
  const low = limitIn(from);
  const high = limitIn(to);
  if (low === undefined && high === undefined) return undefined;
  return { ...(low === undefined ? {} : { low }), ...(high === undefined ? {} : { high }) };
}

function limitIn(text: string | undefined): ComparedLimit | undefined {
  const read = text === undefined ? undefined : parseQuantity(text.replace(/^≈ /, ''));
  return read !== undefined && 'quantity' in read
    ? { at: read.quantity.value.toNumber(), says: text ?? '' }
    : undefined;
}
