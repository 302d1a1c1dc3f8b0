import { type Fact, type FactBody, type Plan, parseQuantity, type Quantity } from '@ferrule/engine';

type Reading = Extract<FactBody, { kind: 'reading' }>;
type Allowed = Extract<FactBody, { kind: 'allowed' }>;

/** Why an instrument that is used by concession would have been refused, in words. */
export const whyAllowed = (because: Allowed['because']): string =>
  because === 'instrument-overdue' ? 'although its calibration has run out' : 'beyond its range';

/**
 * The concessions without which a reading would not have been taken: its instrument was overdue that day, or shows a value
 * beyond its range. In words, for whoever reads the record later. `facts` are those of the job.
 */
export function concessionsOf(plan: Plan, facts: readonly Fact[], fact: Fact): readonly string[] {
  const { fact: reading, at, seq } = fact;
  if (reading.kind !== 'reading' || reading.instrument === undefined) return [];
  const { identity, due } = reading.instrument;
  const needed: Record<Allowed['because'], boolean> = {
    'instrument-overdue': due !== undefined && due < at.slice(0, 10),
    'beyond-instrument': isBeyondRange(plan, reading),
  };
  return facts.flatMap(({ seq: before, fact: one, by }) =>
    one.kind === 'allowed' && before < seq && one.instrument === identity && needed[one.because]
      ? [`${identity} was used ${whyAllowed(one.because)}: allowed by ${by}, fact ${before}: ${one.reason}`]
      : [],
  );
}

function isBeyondRange({ instruments }: Plan, { instrument, digits, unit }: Reading): boolean {
  const declared = instruments.find((one) => one.id === instrument?.kind);
  if (declared === undefined) return false;
  const read = (text: string | undefined): Quantity | undefined => {
    const parsed = text === undefined ? undefined : parseQuantity(text, declared.quantity);
    return parsed !== undefined && 'quantity' in parsed ? parsed.quantity : undefined;
  };
  const value = read(`${digits} ${unit}`.trim())?.value;
  const own = instrument?.range ?? [];
  const lows = [declared.range[0], read(own[0])];
  const highs = [declared.range[1], read(own[1])];
  return (
    value !== undefined &&
    (lows.some((one) => one !== undefined && value.compare(one.value) < 0) ||
      highs.some((one) => one !== undefined && value.compare(one.value) > 0))
  );
}
