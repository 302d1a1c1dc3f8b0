import { Pace } from '@ferrule/compare/rejudge';
import { expect, test } from 'vitest';

test('what an earlier run has left is counted as done and not as done quickly', () => {
  const pace = new Pace();
  const total = 30_000;
  expect(pace.at(0, { total, done: 20_000 })).toBeUndefined();
  // Too little has passed to say anything.
  expect(pace.at(1500, { total, done: 20_400 })).toBeUndefined();
  expect(pace.at(2000, { total, done: 20_500 })).toEqual({ jobsPerSecond: 250, remainingSeconds: 38 });
});

test('where nothing was done of late there is no end to be seen', () => {
  const pace = new Pace();
  pace.at(0, { total: 10, done: 5 });
  expect(pace.at(4000, { total: 10, done: 5 })).toEqual({ jobsPerSecond: 0 });
});
