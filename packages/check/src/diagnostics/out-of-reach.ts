import { type Plan, pointerTo, Rational } from '@ferrule/engine';
import { boundsOf } from '../interval.ts';
import { plausibleBounds } from '../judged-range.ts';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const outOfReach: DiagnosticKind = {
  code: 'out-of-reach',
  severity: 'error',
  says: 'No size of a stock brings any plausible reading inside the limits.',
  marks: 'value',
  examine: ({ plans }: Subject) => oncePerPlace(unreached(plans)),
};

/** Whatever is read and fitted within what is plausible, everything in stock leads past the limits. */
function* unreached(plans: readonly Plan[]): Generator<FindingOfVariant> {
  for (const plan of plans) {
    const plausible = plausibleBounds(plan);
    for (const { stock, sensitivity, fitted, tolerance, pointer } of plan.selections) {
      const aimed = plan.tolerances[tolerance];
      const value = aimed && boundsOf(aimed.value, plausible);
      const now = boundsOf(fitted, plausible);
      const [smallest, largest] = [stock.sizes[0], stock.sizes.at(-1)];
      if (!aimed || !value || !now || !smallest || !largest) continue;
      const least = stock.least?.value ?? smallest.value;
      const greatest = stock.greatest?.value ?? largest.value.times(Rational.of(stock.most));
      const moves = [least.minus(now.high.value), greatest.minus(now.low.value)]
        .map((one) => one.times(sensitivity.value))
        .sort((a, b) => a.compare(b));
      const [down = Rational.zero, up = Rational.zero] = moves;
      const { low, high } = aimed.limits;
      const isBelow = low !== undefined && value.high.value.plus(up).compare(low.value) < 0;
      const isAbove = high !== undefined && value.low.value.plus(down).compare(high.value) > 0;
      if (!isBelow && !isAbove) continue;
      yield {
        variant: plan.variant.id,
        pointer: pointerTo(pointer, 'from'),
        message: `Every size of ${stock.id} leaves the value ${isBelow ? 'below' : 'above'} its limits (${aimed.says}), whatever plausible value was read.`,
        remedy: 'Look at the size that is fitted, at the sensitivity, and at the sizes in stock.',
        other: [
          { pointer: pointerTo(stock.pointer, 'sizes'), message: 'its sizes' },
          { pointer: aimed.pointer, message: 'the limits' },
        ],
      };
    }
  }
}
