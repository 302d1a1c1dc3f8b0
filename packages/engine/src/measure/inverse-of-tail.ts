/**
 * The `t` from 0 on at which a tail comes down to `p`, for `p` up to a half. `tail` falls from a half towards 0 and
 * `density` is what it loses; ∞ when it never comes down to `p`. Newton's steps, with a bisection wherever one of them
 * leaves the bracket or does not halve what is left.
 */
export function inverseOfTail(
  tail: (t: number) => number,
  density: (t: number) => number,
  p: number,
): number {
  if (p <= 0) return Number.POSITIVE_INFINITY;
  let low = 0;
  let high = 1;
  while (tail(high) > p) {
    low = high;
    high *= 2;
    if (high > 1e300) return Number.POSITIVE_INFINITY;
  }
  let t = low;
  let lastStep = high - low;
  for (let i = 0; i < 200; i++) {
    const over = tail(t) - p;
    if (over > 0) low = t;
    else high = t;
    let next = t + over / density(t);
    if (!(next >= low && next <= high) || Math.abs(next - t) * 2 > lastStep) next = (low + high) / 2;
    lastStep = Math.abs(next - t);
    if (lastStep <= 1e-16 * t) return next;
    t = next;
  }
  return t;
}
