import { textDualFaults } from '../text-duals.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const dualDisagrees: DiagnosticKind = {
  code: 'dual-disagrees',
  severity: 'error',
  says: 'Two statements of one value are not the same value.',
  marks: 'value',
  examine: dualsInTexts,
};

/** Where a value is read, its dual statement is looked at in reading; here are those that only people read. */
function* dualsInTexts(subject: Subject): Generator<Finding> {
  for (const { isThermal, ...finding } of textDualFaults(subject)) if (!isThermal) yield finding;
}
