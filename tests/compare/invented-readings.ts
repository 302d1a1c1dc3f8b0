/** A verdict, by the words of a record. */
export type Word = 'conforming' | 'nonconforming' | 'inconclusive';

/** Limits in thousandths of the unit of the reading; `guarded` is guarded acceptance with a guard band of 1 × U. */
export interface WholeLimits {
  readonly low?: number;
  readonly high?: number;
  readonly guarded?: true;
}

/** A gauge in thousandths of its unit. */
export interface Gauge {
  readonly resolution: number;
  readonly error: number;
}

/** One of the ten readings of a bore, as whole numbers: thousandths of its unit. */
export interface InventedReading {
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  readonly centre: number;
  readonly step: number;
  /** How many coins are thrown for it: the heads above a half are the steps above the centre. */
  readonly coins: 8 | 16;
  readonly instrument?: 'feeler-gauge' | 'depth-gauge' | 'bench-gauge' | 'spring-balance';
  /** Limits in revision 1.0.0. */
  readonly was: WholeLimits;
  /** Limits in revision 1.1.0; undefined where it has neither the reading nor the tolerance. */
  readonly now?: WholeLimits;
  /** The name in revision 1.1.0, where that is another. */
  readonly nowNamed?: string;
}

const guarded = true;
const mm = { unit: 'mm', decimals: 2 } as const;
const feeler = { ...mm, instrument: 'feeler-gauge', step: 50, coins: 8 } as const;
const depth = { ...mm, instrument: 'depth-gauge', coins: 16 } as const;

/** The readings of each bore in their order, with the limits of both revisions written out by hand. */
export const inventedReadings: readonly InventedReading[] = [
  {
    name: 'inlet-clearance',
    ...feeler,
    centre: 350,
    was: { low: 250, high: 450 },
    now: { low: 250, high: 450 },
  },
  {
    name: 'exhaust-clearance',
    ...feeler,
    centre: 450,
    was: { low: 350, high: 600 },
    now: { low: 400, high: 550 },
  },
  {
    name: 'follower-lift',
    ...depth,
    centre: 12_070,
    step: 10,
    was: { low: 12_000, high: 12_100 },
    now: { low: 12_000, high: 12_140 },
  },
  {
    name: 'opening-pressure',
    unit: 'bar',
    decimals: 0,
    instrument: 'bench-gauge',
    coins: 16,
    centre: 250_000,
    step: 2000,
    was: { low: 240_000, high: 260_000 },
    now: { low: 244_000, high: 260_000 },
  },
  {
    name: 'drops',
    unit: '',
    decimals: 0,
    coins: 8,
    centre: 3000,
    step: 1000,
    was: { high: 6000 },
    now: { high: 4000 },
  },
  {
    name: 'plunger-travel',
    ...depth,
    centre: 19_400,
    step: 50,
    was: { low: 19_200, high: 19_600 },
    now: { low: 19_200, high: 19_600, guarded },
  },
  {
    name: 'pump-height',
    ...depth,
    centre: 42_600,
    step: 50,
    was: { low: 42_400, high: 42_800, guarded },
    now: { low: 42_400, high: 42_800 },
  },
  // 0.250 in and 0.260 in: an inch is 25.4 mm (exact).
  {
    name: 'washer-depth',
    ...depth,
    centre: 6480,
    step: 20,
    was: { low: 6350, high: 6604 },
    now: { low: 6350, high: 6604 },
  },
  {
    name: 'spring-force',
    unit: 'N',
    decimals: 1,
    instrument: 'spring-balance',
    coins: 16,
    centre: 38_000,
    step: 500,
    was: { low: 36_000 },
  },
  {
    name: 'guide-gap',
    ...depth,
    centre: 1170,
    step: 10,
    was: { low: 1100, high: 1240 },
    now: { low: 1100, high: 1240 },
    nowNamed: 'guide-clearance',
  },
];

/** What revision 1.1.0 asks for and no job of 1.0.0 has. */
export const addedReading = 'arm-backlash';

export const BORES = [1, 2, 3, 4, 5, 6] as const;

/**
 * The verdict on a whole number, worked out in whole numbers alone and apart from the engine. With u² = d²/12 + a²/3 and
 * k = 2 (JCGM 100:2008, F.2.2.1, 4.3.7, 6.2.1) U² is (d² + 4a²)/3, so "inside by U or more" is 3·margin² ≥ d² + 4a², and
 * "the limits are four times as wide as 2·U or wider" is 3·width² ≥ 64·(d² + 4a²). Where they are not, what lies outside by
 * less than U is left open too.
 */
export function wordOn({ low, high, guarded: isGuarded }: WholeLimits, value: number, gauge?: Gauge): Word {
  const margin = Math.min(value - (low ?? -Infinity), (high ?? Infinity) - value);
  if (isGuarded !== true) return margin >= 0 ? 'conforming' : 'nonconforming';
  if (gauge === undefined || low === undefined || high === undefined) return 'inconclusive';
  const square = gauge.resolution * gauge.resolution + 4 * gauge.error * gauge.error;
  if (3 * margin * margin >= square) return margin >= 0 ? 'conforming' : 'nonconforming';
  if (margin >= 0) return 'inconclusive';
  return 3 * (high - low) * (high - low) >= 64 * square ? 'nonconforming' : 'inconclusive';
}
