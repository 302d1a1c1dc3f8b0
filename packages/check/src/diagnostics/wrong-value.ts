import { adapterRatio, pointerTo, writeQuantity } from '@ferrule/engine';
import { resolvedSteps } from '../resolved-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const wrongValue: DiagnosticKind = {
  code: 'wrong-value',
  severity: 'error',
  says: 'A text is none of those that are allowed here, or a value is none at all.',
  marks: 'value',
  examine: adaptersWithoutLever,
};

/** Adapters that leave no lever on the wrench of the pack; one in use may be longer. The model sees to all other values. */
function* adaptersWithoutLever(subject: Subject): Generator<Finding> {
  for (const [pointer, steps] of resolvedSteps(subject)) {
    for (const { node, plan } of steps) {
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
