import { Rational } from '../quantity/index.ts';

/**
 * q/(2·√2) in hundredths, rounded up, for 2, 3, … values: q is what the range of so many values of one normal distribution
 * with a standard deviation of 1 exceeds in 4.55 %, by P(R ≤ w) = m·∫φ(x)·(Φ(x) − Φ(x − w))^(m−1)dx (L. H. C. Tippett,
 * Biometrika 17, 1925; computed).
 */
const hundredths = [
  100, 120, 131, 139, 145, 150, 154, 157, 160, 163, 165, 168, 170, 172, 173, 175, 176, 178, 179, 180, 182,
  183, 184,
];

/**
 * By how much the uncertainty of the lowest or the highest of several values is larger than that of the one that was read
 * so, where so many lie so near that it may be any of them: the more there are, the further out the true one lies. With it
 * the expanded uncertainty of a spread of values that are read alike holds 95.45 %, as it does for two. From 25 on it grows
 * by next to nothing, and is taken as for 24.
 */
export const extremeWidening = (near: number): Rational =>
  Rational.of(hundredths[Math.min(Math.max(near, 2) - 2, hundredths.length - 1)] ?? 100, 100);
