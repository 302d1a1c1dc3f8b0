import { randomUUID } from 'node:crypto';
import type { Occasion } from '@ferrule/engine';

/** When, who, and under which id: now, in the time of this place. */
export const occasionOf = (by: string): Occasion => ({ at: writeTime(new Date()), by, id: randomUUID() });

/** An RFC 3339 time with the offset of this place, so that a due date ends with the day that people live in. */
export function writeTime(time: Date): string {
  const offset = -time.getTimezoneOffset();
  const local = new Date(time.getTime() + offset * 60_000).toISOString().slice(0, 19);
  if (offset === 0) return `${local}Z`;
  const part = (minutes: number): string => String(minutes).padStart(2, '0');
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? '-' : '+'}${part(Math.floor(size / 60))}:${part(size % 60)}`;
}

/** A time of day in this place, with its seconds when it is near, and with its date when that is not today. */
export function writeClock(time: Date): string {
  const written = writeTime(time);
  const now = new Date();
  const near = Math.abs(time.getTime() - now.getTime()) < 120_000;
  const day = written.slice(0, 10);
  return `${written.slice(11, near ? 19 : 16)}${day === writeTime(now).slice(0, 10) ? '' : ` on ${day}`}`;
}
