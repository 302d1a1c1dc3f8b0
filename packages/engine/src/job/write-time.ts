import { Rational } from '../quantity/index.ts';

const MOST_DECIMALS = 9;
const [MINUTE, HOUR] = [Rational.of(60), Rational.of(3600)];

/** A time of so many seconds, zero or more, as people say it: `1 h 12 min 5 s`; below a minute `45.2 s`. Exact to a nanosecond. */
export function writeTime(seconds: Rational): string {
  const hours = seconds.over(HOUR).floor();
  const minutes = seconds.mod(HOUR).over(MINUTE).floor();
  const rest = seconds.mod(MINUTE);
  const parts = [
    ...(hours.sign > 0 ? [`${hours} h`] : []),
    ...(minutes.sign > 0 ? [`${minutes} min`] : []),
    ...(rest.sign > 0 || (hours.sign === 0 && minutes.sign === 0) ? [`${writeSeconds(rest)} s`] : []),
  ];
  return parts.join(' ');
}

/** A number of seconds with as many decimals as it has, up to nine. */
export function writeSeconds(seconds: Rational): string {
  for (let places = 0; places < MOST_DECIMALS; places++) {
    const text = seconds.toDecimal(places);
    if (Rational.parse(text)?.equals(seconds) === true) return text;
  }
  return seconds.toDecimal(MOST_DECIMALS);
}
