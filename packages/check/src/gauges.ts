import {
  type Amount,
  type Plan,
  type PlanTolerance,
  parseQuantity,
  type Quantity,
  type Sufficiency,
  spanKind,
  suitability,
  writeAmount,
} from '@ferrule/engine';

/** Whether the instruments that a pack asks for can judge one tolerance, in whichever bores and variants it is judged so. */
export interface Gauge {
  /** Its name in the pack, without a bore. */
  readonly tolerance: string;
  readonly title: string;
  /** The JSON Pointer to it. */
  readonly pointer: string;
  readonly variants: readonly string[];
  /** The limits as they are written. */
  readonly limits: string;
  /** Kinds of instrument by which it is read. */
  readonly instruments: readonly string[];
  readonly sufficiency: Sufficiency;
  /** Measurement capability index C_m (JCGM 106, 7.6), one decimal; none for a single limit. */
  readonly capability?: string;
  /** The index from which an instrument suffices. */
  readonly asked: string;
  /** Expanded uncertainty with its unit, and its coverage factor. */
  readonly expandedUncertainty?: string;
  readonly coverageFactor?: string;
  /** Which limit there is, where there is one alone. */
  readonly only?: 'lower' | 'upper';
  /** For a single limit: the value from which on a reading proves that it conforms, one U inside the limit. */
  readonly proves?: string;
  /** For a single limit: no plausible value proves anything. */
  readonly provesNothing?: true;
}

/** Every tolerance of the plans, those that are alike in all bores and variants once, in the order of the work. */
export function gaugesOf(plans: readonly Plan[]): readonly Gauge[] {
  const found = new Map<string, Gauge>();
  for (const plan of plans) {
    for (const { tolerance, kinds, sufficiency, ...more } of suitability(plan)) {
      const { expandedUncertainty, coverageFactor, capability, best } = more;
      const from = provenFrom(tolerance, expandedUncertainty);
      const proves = from && canBeRead(tolerance, best, from) ? written(tolerance, from) : undefined;
      const gauge = {
        tolerance: tolerance.pointer.split('/').at(-1) ?? tolerance.name,
        title: tolerance.title,
        pointer: tolerance.pointer,
        limits: tolerance.says,
        instruments: kinds,
        sufficiency,
        ...(capability === undefined ? {} : { capability }),
        asked: tolerance.capability.toDecimal(2).replace(/\.?0+$/, ''),
        ...(expandedUncertainty === undefined ? {} : { expandedUncertainty }),
        ...(coverageFactor === undefined ? {} : { coverageFactor }),
        ...(proves === undefined ? {} : { only: onlyOf(tolerance), proves }),
        ...(from !== undefined && proves === undefined ? { provesNothing: true as const } : {}),
      };
      const key = JSON.stringify(gauge);
      const variants = found.get(key)?.variants ?? [];
      const variant = plan.variant.id;
      found.set(key, { ...gauge, variants: variants.includes(variant) ? variants : [...variants, variant] });
    }
  }
  return [...found.values()];
}

const onlyOf = ({ limits }: PlanTolerance): 'lower' | 'upper' =>
  limits.low === undefined ? 'upper' : 'lower';

function provenFrom(
  { limits: { low, high } }: PlanTolerance,
  uncertainty: string | undefined,
): Quantity | undefined {
  const limit = low ?? high;
  if (uncertainty === undefined || limit === undefined || (low !== undefined && high !== undefined))
    return undefined;
  const read = parseQuantity(uncertainty, spanKind(limit.kind));
  if (!('quantity' in read)) return undefined;
  const { quantity } = read;
  const value = low === undefined ? limit.value.minus(quantity.value) : limit.value.plus(quantity.value);
  return { ...quantity, kind: limit.kind, value };
}

const written = ({ unit, decimals }: PlanTolerance, proves: Quantity): string =>
  writeAmount(proves, unit, Math.max(decimals, proves.decimals));

/** Whether a value that proves something can be read; of what is worked out nothing is known. */
const canBeRead = ({ limits }: PlanTolerance, best: Amount | undefined, proves: Quantity): boolean =>
  best === undefined || best.value.compare(proves.value) * (limits.low === undefined ? 1 : -1) <= 0;
