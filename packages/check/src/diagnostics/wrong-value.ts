import { adapterRatio, pointerTo, type Quantity, writeQuantity } from '@ferrule/engine';
import { resolvedSteps } from '../resolved-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const wrongValue: DiagnosticKind = {
  code: 'wrong-value',
  severity: 'error',
  says: 'A text is none of those that are allowed here, or a value is none at all.',
  marks: 'value',
  examine: valuesOfNothing,
};

/** Turns of nothing or backwards, and adapters that leave no lever; the model sees to stages, adapters and resolutions. */
function* valuesOfNothing(subject: Subject): Generator<Finding> {
  for (const [pointer, steps] of resolvedSteps(subject)) {
    for (const { node, plan } of steps) {
      if (node.act?.act === 'turn' && node.act.by.value.sign <= 0)
        yield nothing(
          node.act.by,
          pointerTo(pointer, 'turn'),
          'A turn is in the running direction, and longer than none',
        );
      if (node.act?.act !== 'tighten') continue;
      const { adapter, wrench } = node.act;
      const at = pointerTo(pointer, 'tighten', 'adapter');
      const length = plan.instruments.find((one) => one.id === wrench)?.length;
      if (adapter !== undefined && length !== undefined && adapterRatio(length, adapter) === undefined)
        yield {
          pointer: at,
          message: `An adapter of ${writeQuantity(adapter.length)} at ${writeQuantity(adapter.angle)} leaves no lever on ${writeQuantity(length)} of ${wrench}.`,
          remedy: 'Correct the adapter, or name a longer wrench.',
        };
    }
  }
}

const nothing = (value: Quantity, pointer: string, expected: string): Finding => ({
  pointer,
  message: `${expected}; this is ${writeQuantity(value)}.`,
  remedy: 'Write the value that is meant.',
});
