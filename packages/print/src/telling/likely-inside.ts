/**
 * The probability that the true value lies inside its limits (JCGM 106, 7.1), from how a record writes it, in words of the
 * workshop: `86.8 %`, `less than 1 %`, `more than 99.9 %`. However far off a value is, it is not said to be a certainty.
 */
export function likelyInside(probability: string): string {
  const [, bound, digits = ''] = /^([<>])? ?(\d+(?:\.\d+)?) %$/.exec(probability) ?? [];
  const percent = Number.parseFloat(digits);
  if (percent < SMALL) return 'less than 1 %';
  return bound === '>' || percent === 100 ? 'more than 99.9 %' : probability;
}

/** Below half a percent a figure only seems to say more than that it is next to nothing. */
const SMALL = 0.5;
