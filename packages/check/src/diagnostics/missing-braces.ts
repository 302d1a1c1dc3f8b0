import { pointerTo } from '@ferrule/engine';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const missingBraces: DiagnosticKind = {
  code: 'missing-braces',
  severity: 'warning',
  says: 'A text has a bound name as a word where other texts have its value.',
  marks: 'value',
  examine: namesWithoutBraces,
};

/** `valve bore` where the steps beside say `valve {bore}`; `the valve bore` is a thing of its own. */
function* namesWithoutBraces({ pack }: Subject): Generator<Finding> {
  const steps = writtenSteps(pack).filter(({ inBore }) => inBore);
  const numbered = new Map<string, Set<string>>();
  for (const { step, procedure = '' } of steps) {
    const words = numbered.get(procedure) ?? new Set<string>();
    for (const [, word = ''] of (step.do ?? '').matchAll(/(\p{L}+)\s+\{bore\}/gu))
      words.add(word.toLowerCase());
    numbered.set(procedure, words);
  }
  for (const { step, pointer, procedure = '' } of steps) {
    const text = step.do ?? '';
    const match = /((?:\p{L}+\s+)?)(\p{L}+)\s+bore\b/iu.exec(text);
    const [, before = '', word = ''] = match ?? [];
    if (match === null || text.includes('{bore}') || !numbered.get(procedure)?.has(word.toLowerCase()))
      continue;
    if (/^(?:the|a|an|each|every|this|its|no|one|any|open|empty)\s/i.test(before)) continue;
    yield {
      pointer: pointerTo(pointer, 'do'),
      message: `A person reads "${word} bore" here, and steps beside it say ${word} {bore}.`,
      remedy: `Write ${word} {bore}.`,
    };
  }
}
