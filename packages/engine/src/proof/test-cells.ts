import type { Test } from '../model/plan.ts';

/** The cells that a test looks at. */
export function* cellsOf(test: Test): Generator<number> {
  if ('cell' in test) yield test.cell;
  else if ('not' in test) yield* cellsOf(test.not);
  else for (const one of 'all' in test ? test.all : test.any) yield* cellsOf(one);
}
