import { isTime } from '../measure/index.ts';
import type { Occasion } from './command.ts';
import type { Refusal } from './refusal.ts';

/** A refusal of an occasion that names nobody, or whose time is none: due dates and waits could not be held against it. */
export function refusedOccasion({ at, by, id }: Occasion): Refusal | undefined {
  if (typeof by !== 'string' || typeof id !== 'string') {
    return { code: 'wrong-shape', message: 'by and id of an occasion are texts.', remedy: 'Say who acts.' };
  }
  if (isTime(at)) return undefined;
  return {
    code: 'bad-time',
    message: `"${String(at).slice(0, 40)}" is no time.`,
    remedy: 'Give the time as RFC 3339 writes it: 2027-01-31T07:30:00Z.',
  };
}
