import { expect, test } from 'vitest';
import { ScriptClock } from '../src/clock.ts';

// RFC 3339, 5.8: 1996-12-19T16:39:57-08:00 is 1996-12-20T00:39:57Z; 1990-12-31T15:59:59-08:00 and 1937-01-01T12:00:27.87+00:20.
test.each([
  ['1996-12-19T16:39:57-08:00', 3, '1996-12-19T16:40:00.000-08:00', '1996-12-20T00:40:00Z'],
  ['1990-12-31T15:59:59-08:00', 1, '1990-12-31T16:00:00.000-08:00', '1991-01-01T00:00:00Z'],
  ['1937-01-01T12:00:27.87+00:20', 0, '1937-01-01T12:00:27.870+00:20', '1937-01-01T11:40:27.87Z'],
  ['1996-12-20T00:39:57Z', 60, '1996-12-20T00:40:57.000Z', '1996-12-20T00:40:57Z'],
])('a clock that starts at %s says %i seconds later %s', (start, seconds, written, sameTime) => {
  const clock = new ScriptClock(start);
  expect(clock.in(seconds)).toBe(written);
  clock.pass(seconds);
  expect(clock.now()).toBe(written);
  expect(Date.parse(clock.now())).toBe(Date.parse(sameTime));
});
