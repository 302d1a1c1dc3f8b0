import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const dangerUnacknowledged: DiagnosticKind = {
  code: 'danger-unacknowledged',
  severity: 'warning',
  says: 'A danger is shown, and nobody has to acknowledge it before acting.',
  marks: 'value',
  examine: allUnacknowledged,
};

/** ANSI Z535.6 and ISO 3864-2: danger is what will kill or maim if it is not avoided; it is not read past. */
function* allUnacknowledged({ pack, report }: Subject): Generator<Finding> {
  for (const [id, { signal, acknowledge }] of Object.entries(pack.hazards ?? {})) {
    // A hazard that no step shows is told as that.
    if (signal !== 'danger' || acknowledge !== undefined || !report.isUsed('hazards', id)) continue;
    yield {
      pointer: pointerTo('/hazards', id, 'signal'),
      message: `${id} is a danger, and a step that shows it can be done without anybody confirming it.`,
      remedy: 'Add acknowledge: yes, or use the signal word that fits.',
    };
  }
}
