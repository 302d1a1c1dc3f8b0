import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { type WrittenNode, writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';
import { namingAnother } from './names-another.ts';

export const copiedStep: DiagnosticKind = {
  code: 'copied-step',
  severity: 'warning',
  says: 'Two steps of one procedure have the same words and are about different things.',
  marks: 'value',
  examine: copiedSteps,
};

function* copiedSteps(subject: Subject): Generator<Finding> {
  const { pack } = subject;
  yield* bothSides(pack);
  // Where the words name something else than the step does, that says more.
  const named = new Set([...namingAnother(subject)].map((one) => one.pointer));
  const seen = new Map<string, { readonly step: written.Step; readonly at: WrittenNode }>();
  for (const at of writtenNodes(pack)) {
    const { node, procedure, isConditional } = at;
    // Steps for one variant or one answer each may well say the same.
    if (!('step' in node) || procedure === undefined || isConditional) continue;
    const key = (['do', 'photograph', 'turn-until'] as const).find((one) => node[one] !== undefined);
    const text = key === undefined ? undefined : node[key];
    if (key === undefined || text === undefined) continue;
    const plain = `${procedure} ${text.toLowerCase().replace(/[^\p{L}\p{N}{}]+/gu, ' ')}`;
    const first = seen.get(plain);
    if (first === undefined) {
      seen.set(plain, { step: node, at });
      continue;
    }
    const [mine, others] = [aboutOf(node), aboutOf(first.step)];
    const pointer = pointerTo(at.pointer, key);
    if (mine === others || mine === '' || others === '' || named.has(pointer)) continue;
    yield {
      pointer,
      message: `${first.step.step} has the same words, and is about ${others}; this step is about ${mine}.`,
      remedy: 'Say in both what is meant, or correct what was left as it was copied.',
      other: [{ pointer: pointerTo(first.at.pointer, key), message: 'the other step' }],
    };
  }
}

/** What is done about a value that is too low, in the words of what is done about one that is too high. */
function* bothSides(pack: Pack): Generator<Finding> {
  for (const { node, pointer } of writtenNodes(pack)) {
    const outcome = 'step' in node ? node['if-nonconforming'] : undefined;
    if (outcome === undefined || !('when-high' in outcome)) continue;
    const [high, low] = [outcome['when-high'], outcome['when-low']];
    if (!('rework' in high) || !('rework' in low)) continue;
    const told = (nodes: readonly written.Node[]): string =>
      nodes.map((one) => ('step' in one ? (one.do ?? one.step) : JSON.stringify(one))).join(' ');
    const text = told(low.rework);
    const place = low.rework.findIndex((one) => 'step' in one && one.do !== undefined);
    if (
      place < 0 ||
      text !== told(high.rework) ||
      !/\b(?:in|out|up|down|on|off|back|forward|more|less|open|shut|clockwise|left|right|raise|lower)\b/i.test(
        text,
      )
    )
      continue;
    const at = pointerTo(pointer, 'if-nonconforming');
    yield {
      pointer: pointerTo(at, 'when-low', 'rework', place, 'do'),
      message: 'What is too low is put right in the same words as what is too high, and by the same move.',
      remedy: 'Turn the words of one of them round; if both are meant, write one rework for both sides.',
      other: [{ pointer: pointerTo(at, 'when-high', 'rework'), message: 'what is done when it is too high' }],
    };
  }
}

const listOf = (names: string | readonly string[] | undefined): readonly string[] =>
  names === undefined ? [] : typeof names === 'string' ? [names] : names;

/** What a step is about, by name: values and torques may differ, as where a joint is tightened in two steps. */
const aboutOf = (step: written.Step): string =>
  [
    ...listOf(step.tighten?.joint),
    ...listOf(step.remove),
    ...listOf(step.renew),
    ...listOf(step.identify?.part),
    ...listOf(step.read),
    ...listOf(step.observe),
    ...listOf(step['fill-in']),
    ...Object.keys(step.changes ?? {}),
  ].join(', ');
