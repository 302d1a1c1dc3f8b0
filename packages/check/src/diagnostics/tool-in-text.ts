import { type Pack, pointerTo } from '@ferrule/engine';
import { namesInFull, wordsOf } from '../name-words.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const toolInText: DiagnosticKind = {
  code: 'tool-in-text',
  severity: 'warning',
  says: 'The words of a step say with what it is done, and its list does not.',
  marks: 'value',
  examine: toolsInTexts,
};

interface Tool {
  readonly id: string;
  /** What it is called for short, where no other thing of the pack is called so. */
  readonly short?: string;
}

function* toolsInTexts({ pack }: Subject): Generator<Finding> {
  const tools = toolsOf(pack);
  for (const { step, pointer, procedure } of writtenSteps(pack)) {
    const text = step.do;
    if (text === undefined) continue;
    const read = [step.read ?? []].flat();
    const readings = procedure === undefined ? {} : pack.procedures[procedure]?.readings;
    const own = new Set([
      ...(step.with ?? []),
      step.tighten?.with,
      ...read.map((one) => readings?.[one]?.instrument),
    ]);
    for (const [, after = ''] of text.matchAll(
      /\b(?:with|by|using)\s+(?:(?:the|a|an)\s+)?([^.,;:]{2,40})/giu,
    )) {
      const words = wordsOf(after);
      const named = tools.filter(({ id, short }) => {
        const length = wordsOf(id).length;
        return namesInFull(words.slice(0, length), id) || (short !== undefined && words[0] === short);
      });
      const [tool] = named;
      if (tool === undefined || named.some(({ id }) => own.has(id))) continue;
      yield {
        pointer: pointerTo(pointer, 'do'),
        message: `These words use ${tool.id}, and this step does not list it.`,
        remedy: `Write with: [${[...(step.with ?? []), tool.id].join(', ')}], or correct the words.`,
        other:
          step.with === undefined ? [] : [{ pointer: pointerTo(pointer, 'with'), message: 'what it lists' }],
      };
      break;
    }
  }
}

function toolsOf(pack: Pack): readonly Tool[] {
  const ids = [pack.equipment, pack.instruments, pack.supplies].flatMap((one) => Object.keys(one ?? {}));
  const worked = [pack.parts, pack.joints, pack.stock, pack.states].flatMap((one) => Object.keys(one ?? {}));
  const taken = new Set(worked.flatMap(wordsOf));
  return ids.map((id) => {
    const short = wordsOf(id).at(-1) ?? '';
    const isIts = !taken.has(short) && !ids.some((other) => other !== id && wordsOf(other).includes(short));
    return isIts ? { id, short } : { id };
  });
}
