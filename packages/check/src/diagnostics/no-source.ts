import { pointerTo } from '@ferrule/engine';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const noSource: DiagnosticKind = {
  code: 'no-source',
  severity: 'error',
  says: 'A value has no source, or one that says nothing.',
  marks: 'value',
  when: 'written',
  examine: valuesWithoutSource,
};

const saysNothing =
  /^(?:|[\s\p{P}\p{S}]+|x+|tb[acd]|to be [\w ]{1,40}|to ?do|fix ?me|unknown|not known|none|nil|n ?\/ ?a|no source|source|missing|later|see above|somewhere|\?+)[\s.!?…]*$/iu;

const isVoid = (source: string): boolean => saysNothing.test(source.trim());

function* valuesWithoutSource({ pack }: Subject): Generator<Finding> {
  const remedy = 'Name the document, its edition and the table or section.';
  for (const [id, { source }] of Object.entries(pack.tables ?? {})) {
    if (isVoid(source))
      yield {
        pointer: pointerTo('/tables', id, 'source'),
        message: `"${source}" says nothing of where the points of ${id} come from.`,
        remedy,
      };
  }
  for (const [name, procedure] of Object.entries(pack.procedures)) {
    const at = pointerTo('/procedures', name);
    for (const [id, { source }] of Object.entries(procedure.tolerances ?? {})) {
      if (isVoid(source))
        yield {
          pointer: pointerTo(at, 'tolerances', id, 'source'),
          message: `"${source}" says nothing of where the limits of ${id} come from.`,
          remedy,
        };
    }
    if (procedure.source !== undefined && isVoid(procedure.source))
      yield {
        pointer: pointerTo(at, 'source'),
        message: `"${procedure.source}" says nothing of where ${name} comes from.`,
        remedy,
      };
  }
  if (pack.source !== undefined) {
    if (isVoid(pack.source))
      yield {
        pointer: '/source',
        message: `"${pack.source}" says nothing of where the values come from.`,
        remedy,
      };
    return;
  }
  const told = new Set<string>();
  for (const { step, pointer, procedure } of writtenSteps(pack)) {
    const isTorque = step.tighten?.stages.some((stage) => /^(?!slacken|\+)/.test(stage)) ?? false;
    if (!isTorque || procedure === undefined || told.has(procedure)) continue;
    if (pack.procedures[procedure]?.source !== undefined) continue;
    told.add(procedure);
    yield {
      pointer: pointerTo(pointer, 'tighten', 'stages'),
      severity: 'warning',
      message: `This torque has no source, for neither ${procedure} nor the pack names one.`,
      remedy: `Add source: to ${procedure} or to the pack.`,
    };
  }
}
