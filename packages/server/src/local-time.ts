/** An RFC 3339 time with the offset of this place, so that a due date ends with the day that people live in. */
export function localTime(time: Date): string {
  const offset = -time.getTimezoneOffset();
  const local = new Date(time.getTime() + offset * 60_000).toISOString().slice(0, 19);
  if (offset === 0) return `${local}Z`;
  const part = (minutes: number): string => String(minutes).padStart(2, '0');
  const size = Math.abs(offset);
  return `${local}${offset < 0 ? '-' : '+'}${part(Math.floor(size / 60))}:${part(size % 60)}`;
}
