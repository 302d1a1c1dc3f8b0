import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const notCalibrated: DiagnosticKind = {
  code: 'not-calibrated',
  severity: 'warning',
  says: 'Instruments of one sort are calibrated, and one of them is not.',
  marks: 'key',
  examine: allNotCalibrated,
};

function* allNotCalibrated({ pack }: Subject): Generator<Finding> {
  const instruments = Object.entries(pack.instruments ?? {});
  for (const [id, instrument] of instruments) {
    if (instrument.calibrated !== undefined) continue;
    const alike = instruments.filter(
      ([other, { quantity }]) =>
        other !== id && quantity === instrument.quantity && sortOf(other) === sortOf(id),
    );
    const [first] = alike;
    if (first === undefined || alike.some(([, one]) => one.calibrated === undefined)) continue;
    yield {
      pointer: pointerTo('/instruments', id),
      message: `${alike.map(([other]) => other).join(', ')} must be calibrated, and ${id} need not be.`,
      remedy: 'Add calibrated: yes.',
      other: [{ pointer: pointerTo('/instruments', first[0]), message: 'which must be calibrated' }],
    };
  }
}

/** What comes before the last word: `torque-wrench` of `torque-wrench-low`. */
const sortOf = (id: string): string => id.slice(0, id.lastIndexOf('-') + 1) || `${id}-`;
