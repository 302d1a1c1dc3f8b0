import { Rational } from '../quantity/index.ts';

/** A day of the calendar as RFC 3339 writes it (full-date): `2027-01-31`. */
export function isFullDate(text: unknown): text is string {
  if (typeof text !== 'string') return false;
  const [, year, month, day] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text)?.map(Number) ?? [];
  if (year === undefined || month === undefined || day === undefined) return false;
  return month >= 1 && month <= 12 && day >= 1 && day <= daysIn(year, month);
}

function daysIn(year: number, month: number): number {
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  return [31, isLeap ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31][month - 1] ?? 0;
}

/** A moment as RFC 3339 writes it (date-time), with its offset: `2027-01-31T07:30:00Z`. */
export function isTime(text: unknown): text is string {
  if (typeof text !== 'string' || !isFullDate(text.slice(0, 10))) return false;
  return (
    /^[Tt ](?:[01]\d|2[0-3]):[0-5]\d:(?:[0-5]\d|60)(?:\.\d+)?(?:[Zz]|[+-](?:[01]\d|2[0-3]):[0-5]\d)$/.test(
      text.slice(10),
    ) && text.length < 64
  );
}

/**
 * The seconds of a moment since the start of 1970 in UTC, exactly as it is written, with every digit of its fraction. A
 * leap second counts as the first second of the next minute. Undefined for what is no moment (`isTime`).
 */
export function secondsOf(time: string): Rational | undefined {
  if (!isTime(time)) return undefined;
  const [, minutes = '', second = '', fraction = '', zone = ''] =
    /^(.{10}.\d\d:\d\d):(\d\d)(\.\d+)?(.+)$/.exec(time) ?? [];
  const whole = Date.parse(`${minutes.toUpperCase().replace(' ', 'T')}:00${zone.toUpperCase()}`) / 1000;
  return Rational.of(whole).plus(Rational.parse(`${second}${fraction}`) ?? Rational.zero);
}
