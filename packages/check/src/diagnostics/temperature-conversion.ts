import { textDualFaults } from '../text-duals.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const temperatureConversion: DiagnosticKind = {
  code: 'temperature-conversion',
  severity: 'error',
  says: 'A difference of temperatures is converted as a temperature, or a temperature as a difference.',
  marks: 'value',
  examine: thermalFaults,
};

function* thermalFaults(subject: Subject): Generator<Finding> {
  for (const { isThermal, ...finding } of textDualFaults(subject)) if (isThermal) yield finding;
}
