import { PART, type Plan, type Test } from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import { partWork } from '../part-work.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const removedTwice: DiagnosticKind = {
  code: 'removed-twice',
  severity: 'warning',
  says: 'Two rounds of a loop take off the same part.',
  marks: 'value',
  examine: (subject) => oncePerPlace(allRemovedTwice(subject)),
};

function* allRemovedTwice({ plans }: Subject): Generator<FindingOfVariant> {
  for (const plan of plans) {
    const seen = new Set<string>();
    for (const { part, name, to, pointer, node } of partWork(plan)) {
      if (to !== PART.removed || !isAlwaysDone(plan, node)) continue;
      const key = `${name} ${pointer}`;
      if (seen.has(key))
        yield {
          variant: plan.variant.id,
          pointer,
          message: `${part} is taken off here in more than one round of the loop around it, and there is only one.`,
          remedy:
            'Where each bore has its own, write per: bore at the part. Otherwise name the part of each round in a case of its own, or take the round out of the loop.',
        };
      seen.add(key);
    }
  }
}

/** Whether a step stands in no rework, and in no case that anything else than the round decides. */
function isAlwaysDone(plan: Plan, index: number): boolean {
  for (let inside = index, at = plan.nodes[index]?.parent ?? -1; at >= 0; ) {
    const node = plan.nodes[at];
    if (node === undefined || node.node === 'step' || node.node === 'hold') return false;
    if (node.node === 'choose') {
      const truths = node.cases.map(({ when }) => (when.by === 'test' ? constant(when.test) : undefined));
      const taken = truths.includes(true) ? node.cases[truths.indexOf(true)]?.body : node.otherwise;
      if (truths.includes(undefined) || taken !== inside) return false;
    }
    inside = at;
    at = node.parent;
  }
  return true;
}

/** What a test without cells comes to. */
function constant(test: Test): boolean | undefined {
  if ('all' in test && test.all.length === 0) return true;
  return 'any' in test && test.any.length === 0 ? false : undefined;
}
