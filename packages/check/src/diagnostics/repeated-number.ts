import { writeQuantity } from '@ferrule/engine';
import { placeOfDatum, saidBesideData } from '../text-data.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const repeatedNumber: DiagnosticKind = {
  code: 'repeated-number',
  severity: 'warning',
  says: 'A text repeats a value that is data already.',
  marks: 'value',
  examine: repeatedNumbers,
};

function* repeatedNumbers(subject: Subject): Generator<Finding> {
  for (const { pointer, text, repeats } of saidBesideData(subject)) {
    // Who says a few turns in words says what a hand does, beside the angle for the record.
    if (repeats === undefined || text.isInWords === true) continue;
    yield {
      pointer,
      message: `The text repeats ${writeQuantity(text.quantity)}, which is a ${repeats.what} too: when one of them is changed the other stays behind.`,
      remedy:
        repeats.what === 'fact'
          ? `Name the fact: {variant.${repeats.said}}.`
          : repeats.what === 'limit'
            ? 'Leave it out, or name a fact that both take: {variant.…}.'
            : 'Leave it out: the value is shown with the step.',
      other: [placeOfDatum(repeats)],
    };
  }
}
