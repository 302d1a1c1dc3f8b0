import { type Plan, pointerTo, type Rational, stacksOf, writeQuantity } from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const coarseStock: DiagnosticKind = {
  code: 'coarse-stock',
  severity: 'warning',
  says: 'From one size of a stock to the next the value moves by more than the width of its limits.',
  marks: 'value',
  examine: ({ plans }: Subject) => oncePerPlace(coarse(plans)),
};

/** Where even the smallest step is wider than the limits: whether any size does is left to luck. */
function* coarse(plans: readonly Plan[]): Generator<FindingOfVariant> {
  for (const plan of plans) {
    for (const { stock, sensitivity, tolerance, pointer } of plan.selections) {
      const aimed = plan.tolerances[tolerance];
      const { low, high } = aimed?.limits ?? {};
      if (aimed === undefined || low === undefined || high === undefined) continue;
      const totals = stacksOf(
        stock.sizes.map((one) => one.value),
        stock.most,
      )?.map((one) => one.total);
      const step = totals === undefined ? undefined : smallestStep(totals);
      const width = high.value.minus(low.value);
      if (step === undefined || step.times(sensitivity.value.abs()).compare(width) <= 0) continue;
      yield {
        variant: plan.variant.id,
        pointer: pointerTo(pointer, 'from'),
        message: `By ${writeQuantity(sensitivity)}, each step of ${stock.id} moves the value further than the limits lie apart (${aimed.says}): often none in stock will do.`,
        remedy: 'Keep finer steps, allow more than one in a stack, or correct the sensitivity.',
        other: [
          { pointer: pointerTo(stock.pointer, 'sizes'), message: 'its sizes' },
          { pointer: aimed.pointer, message: 'the limits' },
        ],
      };
    }
  }
}

function smallestStep(totals: readonly Rational[]): Rational | undefined {
  let least: Rational | undefined;
  totals.forEach((total, place) => {
    const before = totals[place - 1];
    const step = before && total.minus(before);
    if (step !== undefined && (least === undefined || step.compare(least) < 0)) least = step;
  });
  return least;
}
