import { type Kind, kindName, pointerTo, writeQuantity } from '@ferrule/engine';
import { boundsOf } from '../interval.ts';
import { plausibleBounds } from '../judged-range.ts';
import { limitsAt } from '../limits-at.ts';
import { partsIn } from '../parts-in.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const belowZero: DiagnosticKind = {
  code: 'below-zero',
  severity: 'warning',
  says: 'A value is negative that never is.',
  marks: 'value',
  examine: negativeValues,
};

/** What is read of these is never less than nothing; a difference of two of them may be. */
const never: ReadonlySet<Kind> = new Set<Kind>([
  'time',
  'volume',
  'delivery',
  'mass',
  'count',
  'strokes',
  'rotational-speed',
  'resistance',
]);

function* negativeValues({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const { entries, tolerances } = plan;
    const bounds = plausibleBounds(plan);
    for (const entry of entries) {
      if (entry.entry !== 'reading' || !never.has(entry.kind) || entry.plausible[0].value.sign >= 0) continue;
      yield {
        pointer: pointerTo(entry.pointer, 'plausible', 0),
        message: `${writeQuantity(entry.plausible[0])} is no plausible ${kindName(entry.kind)}: it is never less than nothing.`,
        remedy: 'Begin at 0 or above.',
      };
    }
    for (const tolerance of tolerances) {
      const { value, limits, says } = tolerance;
      for (const part of partsIn(value)) {
        const divisor =
          part.node === 'calculation' && part.operation === 'over' ? part.operands[1] : undefined;
        const range = divisor && boundsOf(divisor, bounds);
        if (range === undefined || range.low.value.sign >= 0) continue;
        yield {
          pointer: tolerance.pointer,
          message: `${tolerance.of} is divided by what can be below zero: a share of that is as large for values that are worse.`,
          remedy: 'Correct the plausible values, so that they begin at 0 or above, or judge the difference.',
        };
      }
      const isNegative = [limits.low, limits.high].some((one) => one !== undefined && one.value.sign < 0);
      if (value.node !== 'name' || !never.has(value.type.kind) || !isNegative) continue;
      yield {
        pointer: limitsAt(tolerance, pack),
        message: `The limits ${says} go below nothing, which a ${kindName(value.type.kind)} never does.`,
        remedy: 'Correct the limit, or its sign.',
      };
    }
  }
}
