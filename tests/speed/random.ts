/** Whole numbers from 0 up to, and not including, `below`: the same ones in every run (xorshift32, Marsaglia 2003). */
export function randomFrom(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) % below;
  };
}
