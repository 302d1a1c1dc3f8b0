import { type Datum, placeOfDatum, saidBesideData } from '../text-data.ts';
import type { TextQuantity } from '../text-quantities.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const otherNumber: DiagnosticKind = {
  code: 'other-number',
  severity: 'error',
  says: 'A text states another value than the data of the same step.',
  marks: 'value',
  examine: otherNumbers,
};

function* otherNumbers(subject: Subject): Generator<Finding> {
  for (const { pointer, text, differs } of saidBesideData(subject)) {
    const data = differs.filter((datum) => isMeant(text, datum));
    const [first] = data;
    if (first === undefined) continue;
    const said = [...new Set(data.map((one) => one.said))].join(', ');
    yield {
      pointer,
      // A torque beside a torque can mean nothing else; a time or an angle may be one of another thing.
      severity: first.amount.kind === 'torque' && first.what === 'stage' ? 'error' : 'warning',
      message: `The text says ${text.said}, and the ${first.what} of this step is ${said}.`,
      remedy: 'Correct the one that is wrong, and leave the value out of the text.',
      other: data.map(placeOfDatum),
    };
  }
}

const beforeLimit =
  /(?:\b(?:between|at least|at most|more than|less than|within|above|below|exceed|must be|should be|is to be|up to|shows?|reads?|reach(?:es)?|set to|set it to)|±)\s*$/i;
const beforeWait = /\b(?:wait|waits|leave|rest|let|stand|dry|cure|cool|settle)\b[^.;]{0,60}$/i;
const otherTime = /\b(?:every|each|after|within|no longer than)\s*$/i;

function isMeant({ before, quantity }: TextQuantity, { what }: Datum): boolean {
  switch (what) {
    case 'stage':
      return quantity.kind === 'torque' || /\b(?:by|further|turn|angle of|slacken|through)\s*$/i.test(before);
    case 'turn':
      return /\b(?:by|through|turn)\s*$/i.test(before);
    case 'wait':
      return beforeWait.test(before) && !otherTime.test(before);
    case 'limit':
      return beforeLimit.test(before);
    case 'sensitivity':
    case 'plausible value':
    case 'fact':
      return false;
  }
}
