import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { wordsOf } from '../name-words.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const twinDiffers: DiagnosticKind = {
  code: 'twin-differs',
  severity: 'warning',
  says: 'Of two procedures or laws that are word for word alike, one has what its twin has not.',
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
  yield* differingLaws(pack);
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

const quantifiers = ['every-bore', 'any-bore', 'no-bore'] as const;

/** Two laws that say the same of two states, one of them of every bore and the other of any. */
function* differingLaws({ interlocks = [] }: Pack): Generator<Finding> {
  const ofBores = interlocks.flatMap((law, number) => {
    const map = law.while ?? {};
    const quantifier = quantifiers.find((one) => map[one] !== undefined);
    return quantifier === undefined ? [] : [{ law, number, quantifier }];
  });
  for (const { law, number, quantifier } of ofBores) {
    const twin = ofBores.find(
      (one) =>
        one.law.says === law.says &&
        JSON.stringify(one.law.forbid) === JSON.stringify(law.forbid) &&
        one.quantifier === 'any-bore',
    );
    if (twin === undefined || quantifier !== 'every-bore') continue;
    yield {
      pointer: pointerTo('/interlocks', number, 'while'),
      message: `${law.law} forbids while every bore is so, and its twin ${twin.law.law} while any is.`,
      remedy: 'Write any-bore: one is enough to be in the way.',
      other: [{ pointer: pointerTo('/interlocks', twin.number, 'while'), message: twin.law.law }],
    };
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
