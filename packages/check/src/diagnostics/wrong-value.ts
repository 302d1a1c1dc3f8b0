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

/** Turns, stages, adapters and resolutions of nothing, or backwards. */
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
      if (adapter !== undefined && adapter.length.value.sign <= 0)
        yield nothing(adapter.length, pointerTo(at, 'length'), 'An adapter has a length above nothing');
      else if (adapter !== undefined && length !== undefined && adapterRatio(length, adapter) === undefined)
        yield {
          pointer: at,
          message: `An adapter of ${writeQuantity(adapter.length)} at ${writeQuantity(adapter.angle)} leaves no lever on ${writeQuantity(length)} of ${wrench}.`,
          remedy: 'Correct the adapter, or name a longer wrench.',
        };
      for (const [index, stage] of node.act.stages.entries()) {
        const value = stage.stage === 'torque' ? stage.torque : stage.angle;
        if (value !== undefined && value.value.sign <= 0)
          yield nothing(
            value,
            pointerTo(pointer, 'tighten', 'stages', index),
            'A stage has a torque or an angle above nothing',
          );
      }
    }
  }
  for (const { instruments } of subject.plans) {
    for (const { id, resolution } of instruments)
      if (resolution.value.sign <= 0)
        yield nothing(
          resolution,
          pointerTo('/instruments', id, 'resolution'),
          'A resolution is a step that an instrument shows',
        );
  }
}

const nothing = (value: Quantity, pointer: string, expected: string): Finding => ({
  pointer,
  message: `${expected}; this is ${writeQuantity(value)}.`,
  remedy: 'Write the value that is meant.',
});
