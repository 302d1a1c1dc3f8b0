import { type FactBody, type Plan, parseQuantity, spanKind } from '@ferrule/engine';

type ReadingFact = Extract<FactBody, { kind: 'reading' }>;

/**
 * What to say of a reading that lies between two steps of what its instrument shows; undefined where it does not, where it is
 * typed in another unit than that of the steps, or where nobody named an instrument. It counts as it was typed.
 */
export function betweenSteps(
  plan: Plan,
  { instrument, digits, unit, beyond }: ReadingFact,
): string | undefined {
  const declared = plan.instruments.find((one) => one.id === instrument?.kind);
  if (instrument === undefined || declared === undefined || beyond !== undefined) return undefined;
  const { quantity } = declared;
  const own =
    instrument.resolution === undefined
      ? undefined
      : parseQuantity(instrument.resolution, spanKind(quantity));
  const step = own !== undefined && 'quantity' in own ? own.quantity : declared.resolution;
  const read = parseQuantity(`${digits} ${unit}`.trim(), quantity);
  if (!('quantity' in read) || read.quantity.unit.symbol !== step.unit.symbol) return undefined;
  const steps = read.quantity.value.over(step.value);
  if (steps.floor().equals(steps)) return undefined;
  const shown =
    instrument.resolution ?? `${declared.resolution.digits} ${declared.resolution.unit.symbol}`.trim();
  return `${instrument.identity} shows steps of ${shown}, and ${digits} ${unit} lies between two of them. It counts as it was typed.`;
}
