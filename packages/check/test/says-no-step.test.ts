import { expect, test } from 'vitest';
import { saysNoStep } from '../src/says-no-step.ts';

const nodes = [
  { node: 'block', path: 'strip' },
  { node: 'step', path: 'strip.bore=1/take-off' },
  { node: 'step', path: 'strip.bore=2/take-off' },
  { node: 'step', path: 'fit.bore=2/close-clips' },
  { node: 'step', path: 'fit.bore=2/close-clips/if-nonconforming/open-clips' },
];

test.each([
  ['the name of the loop was left out', 'bore=2/take-off', 'strip.bore=2/take-off'],
  ['the block of the remedy was left out', 'fit.bore=2/close-clips/open-clips', nodes[4]?.path],
  ['a letter is missing', 'fit.bore=2/close-clip', 'fit.bore=2/close-clips'],
  ['none has all of it: the first one', 'take-of', 'strip.bore=1/take-off'],
  ['a block is no step', 'strip', undefined],
])('%s', (_, at, meant) => {
  expect(saysNoStep(nodes, at)).toBe(
    `There is no step ${at}.${meant === undefined ? '' : ` Did you mean ${meant}?`}`,
  );
});
