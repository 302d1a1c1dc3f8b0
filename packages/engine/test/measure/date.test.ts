import { expect, test } from 'vitest';
import { isFullDate, isTime } from '../../src/measure/index.ts';

// RFC 3339, 5.6 and appendix C (days in a month, leap years).
test.each([
  ['2027-01-31', true],
  ['2028-02-29', true],
  ['2000-02-29', true],
  ['2027-02-29', false],
  ['1900-02-29', false],
  ['2026-13-45', false],
  ['2027-04-31', false],
  ['2027-00-10', false],
  ['31.12.2020', false],
  ['zzzz', false],
  ['never', false],
  ['2027-1-31', false],
  ['', false],
  [null, false],
])('isFullDate(%j) is %s', (text, expected) => {
  expect(isFullDate(text)).toBe(expected);
});

test.each([
  ['2027-01-31T07:30:00Z', true],
  ['1985-04-12T23:20:50.52Z', true],
  ['1996-12-19T16:39:57-08:00', true],
  ['1990-12-31T23:59:60Z', true],
  ['2027-01-31T24:00:00Z', false],
  ['2027-01-31T07:30:00', false],
  ['2027-02-30T07:30:00Z', false],
  ['2027-01-31', false],
  ['0', false],
  ['01/02/2028', false],
  ['', false],
  [undefined, false],
])('isTime(%j) is %s', (text, expected) => {
  expect(isTime(text)).toBe(expected);
});
