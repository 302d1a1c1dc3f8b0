import { expect, test } from 'vitest';
import { likelyInside } from '../src/telling/likely-inside.ts';

// As the record writes them: see write-assessment.ts of the engine.
test.each([
  ['0 %', 'less than 1 %'],
  ['< 0.1 %', 'less than 1 %'],
  ['0.3 %', 'less than 1 %'],
  ['0.5 %', '0.5 %'],
  ['1.0 %', '1.0 %'],
  ['50.0 %', '50.0 %'],
  ['99.9 %', '99.9 %'],
  ['> 99.9 %', 'more than 99.9 %'],
  ['100 %', 'more than 99.9 %'],
])('%s of the record is said as %s', (probability, said) => {
  expect(likelyInside(probability)).toBe(said);
});
