import { type Entry, type Plan, pointerTo, writeQuantity } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const beyondInstrument: DiagnosticKind = {
  code: 'beyond-instrument',
  severity: 'warning',
  says: 'A torque or a plausible value of a reading lies beyond what its instrument can show.',
  marks: 'value',
  examine: readingsBeyondInstrument,
};

/** Readings that may be plausible where their instrument shows nothing: no such value could ever be entered. */
function* readingsBeyondInstrument({ plans }: Subject): Generator<Finding> {
  const beyond = new Map<string, Finding & { readonly instrument: string; readonly isMeant: boolean }>();
  const within = new Set<string>();
  for (const { entries, instruments, nodes } of plans) {
    for (const entry of entries) {
      if (entry.entry !== 'reading' || entry.instrument === undefined) continue;
      const instrument = instruments.find((one) => one.id === entry.instrument);
      if (instrument === undefined) continue;
      // On a circle every angle comes into the range after some number of turns.
      if (entry.circle !== undefined) continue;
      const [low, high] = entry.plausible;
      const [lowest, highest] = instrument.range;
      if (low.value.compare(lowest.value) >= 0 && high.value.compare(highest.value) <= 0) {
        within.add(instrument.id);
        continue;
      }
      beyond.set(entry.pointer, {
        instrument: instrument.id,
        isMeant: isTakenBeyond(entry, nodes),
        pointer: pointerTo(entry.pointer, 'plausible'),
        message: `${writeQuantity(low)} to ${writeQuantity(high)} goes beyond the range of ${instrument.id}.`,
        remedy:
          'Keep the plausible values inside the range, or name another instrument. Where values beyond the scale are meant to be taken as such, say if-inconclusive where they are judged.',
        other: [
          {
            pointer: pointerTo('/instruments', instrument.id, 'range'),
            message: `its range: ${writeQuantity(lowest)} to ${writeQuantity(highest)}`,
          },
        ],
      });
    }
  }
  const findings = [...beyond.values()];
  for (const { instrument, isMeant, ...finding } of findings) {
    const all = findings.filter((one) => one.instrument === instrument);
    const isOne = within.has(instrument) || all.length < 2;
    if (isOne && !isMeant) yield finding;
    else if (!isOne && !all.every((one) => one.isMeant) && all[0]?.pointer === finding.pointer)
      // What none of its readings fits is more likely wrong itself.
      yield {
        pointer: pointerTo('/instruments', instrument, 'range'),
        message: `None of the ${all.length} readings that are taken with ${instrument} stays inside its range: ${finding.message}`,
        remedy: 'Correct the range, or name another instrument for them.',
        other: all.map(({ pointer }) => ({ pointer, message: 'what is plausible' })),
      };
  }
}

/** Whether it is said what follows where a value lies beyond the scale: then it is taken as such. */
const isTakenBeyond = (entry: Entry, nodes: Plan['nodes']): boolean =>
  entry.judgedBy.length > 0 &&
  entry.judgedBy.every((at) => {
    const node = nodes[at];
    const check = node?.node === 'step' ? node.check : undefined;
    return check?.check === 'tolerance' && check.inconclusive !== undefined;
  });
