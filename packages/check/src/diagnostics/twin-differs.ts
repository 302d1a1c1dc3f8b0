import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { wordsOf } from '../name-words.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const twinDiffers: DiagnosticKind = {
  code: 'twin-differs',
  severity: 'warning',
  says: 'Of two procedures that are word for word alike, one step has a key that its twin has not.',
  marks: 'value',
  examine: differingTwins,
};

const keys = [
  'operation',
  'hazards',
  'with',
  'requires',
  'changes',
  'tighten',
  'read',
  'judge',
  'observe',
  'witness',
  'together-with',
  'remove',
  'renew',
] as const;

function* differingTwins({ pack }: Subject): Generator<Finding> {
  const all = Object.entries(pack.procedures).flatMap(([name, { steps }]) => {
    const plain = steps.flatMap((node) => ('step' in node ? [node] : []));
    return plain.length === steps.length && plain.length > 1 ? [{ name, steps: plain }] : [];
  });
  for (const [index, one] of all.entries()) {
    for (const other of all.slice(index + 1)) {
      if (one.steps.length !== other.steps.length) continue;
      if (!one.steps.every((step, place) => areTwins(step, other.steps[place], pack))) continue;
      yield* between(one, other);
      yield* between(other, one);
    }
  }
}

interface Named {
  readonly name: string;
  readonly steps: readonly written.Step[];
}

/** What the first has and the second lacks, if that is one thing. */
function* between(one: Named, other: Named): Generator<Finding> {
  const lacking = one.steps.flatMap((step, place) =>
    keys.flatMap((key) =>
      step[key] !== undefined && other.steps[place]?.[key] === undefined ? [{ key, place }] : [],
    ),
  );
  const [found] = lacking;
  if (found === undefined || lacking.length > 1) return;
  const { key, place } = found;
  const [mine, its] = [other.steps[place]?.step ?? '', one.steps[place]?.step ?? ''];
  const at = pointerTo('/procedures', one.name, 'steps', place, key);
  yield {
    pointer: pointerTo('/procedures', other.name, 'steps', place),
    message: `${mine} has no ${key}, and its twin ${its} in ${one.name} has.`,
    remedy: `Add ${key}: to it, or say in its words in what the two differ.`,
    other: [{ pointer: at, message: `what ${its} has` }],
  };
}

/** Two steps that are told in the same words, but for one that tells which of two things is meant. */
function areTwins(one: written.Step, other: written.Step | undefined, { variants }: Pack): boolean {
  if (other === undefined || one.do === undefined || other.do === undefined) return false;
  const facts = new Set(Object.values(variants).flatMap(({ facts = {} }) => Object.keys(facts)));
  const plain = (text: string): readonly string[] =>
    wordsOf(text.replace(/\{variant\.([^}]*)\}/g, (_, fact: string) => (facts.has(fact) ? ' fact ' : ' ')));
  const [words, others] = [plain(one.do), plain(other.do)];
  const differing = words.filter((word, place) => word !== others[place]);
  return words.length === others.length && words.length > 3 && differing.length < 2;
}
