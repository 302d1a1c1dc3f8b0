import { pointerTo, writeQuantity } from '@ferrule/engine';
import { quantitiesIn } from '../text-quantities.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const waitWithoutTime: DiagnosticKind = {
  code: 'wait-without-time',
  severity: 'warning',
  says: 'A text says to wait, and the step has no time to wait.',
  marks: 'value',
  examine: waitsInWords,
};

const waits = /\b(?:wait|leave (?:it|them|the \w+) (?:alone )?)\s*(?:for )?(?:at least |about |another )?$/i;
const vague =
  /^wait (?:a (?:while|moment|bit|few (?:minutes|hours|seconds))|some (?:time|minutes|hours)|long enough)\b/i;

function* waitsInWords({ pack }: Subject): Generator<Finding> {
  for (const { step, pointer } of writtenSteps(pack)) {
    const text = step.do ?? '';
    if (step.wait !== undefined || !/\b(?:wait|leave)\b/i.test(text)) continue;
    const time = quantitiesIn(text).find(
      ({ quantity, before }) => quantity.kind === 'time' && waits.test(before),
    );
    if (time === undefined && !vague.test(text)) continue;
    yield {
      pointer: pointerTo(pointer, 'do'),
      message:
        time === undefined
          ? 'The text says to wait, and nobody can tell how long.'
          : `The text says to wait ${writeQuantity(time.quantity)}, and nothing looks whether that time is over.`,
      remedy:
        time === undefined
          ? 'Add wait: with the time.'
          : `Make it a step of its own with wait: ${writeQuantity(time.quantity)}, and leave the time out of the text.`,
    };
  }
}
