import { pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const judgesAnother: DiagnosticKind = {
  code: 'judges-another',
  severity: 'warning',
  says: 'A step takes one reading and judges another.',
  marks: 'value',
  examine: allJudgingAnother,
};

function* allJudgingAnother({ plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    for (const node of plan.nodes) {
      if (node.node !== 'step' || node.check?.check !== 'tolerance') continue;
      const tolerance = plan.tolerances[node.check.tolerance];
      const readings = node.entries.flatMap((entry) => {
        const one = plan.entries[entry];
        return one?.entry === 'reading' ? [{ entry, name: one.name }] : [];
      });
      if (tolerance === undefined || readings.length === 0) continue;
      if (readings.some(({ entry }) => tolerance.entries.includes(entry))) continue;
      const [name = '', of = ''] = [tolerance.name, tolerance.of].map((one) => one.split('@')[0]);
      yield {
        pointer: pointerTo(node.pointer, 'judge'),
        message: `This step reads ${readings.map((one) => one.name.split('@')[0]).join(' and ')}, and ${name} judges ${of}.`,
        remedy: 'Judge what is read here, or judge the other in a step of its own.',
        other: [{ pointer: tolerance.pointer, message: name }],
      };
    }
  }
}
