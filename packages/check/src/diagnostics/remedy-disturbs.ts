import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { writtenRemedies, writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const remedyDisturbs: DiagnosticKind = {
  code: 'remedy-disturbs',
  severity: 'warning',
  says: 'What could not be decided is disturbed before it is measured again.',
  marks: 'value',
  examine: disturbingRemedies,
};

/** What may be good is left alone: an inconclusive result asks for a better measurement, and for nothing else. */
function* disturbingRemedies({ pack }: Subject): Generator<Finding> {
  for (const { step, pointer, beside } of writtenSteps(pack)) {
    for (const [remedy, at] of writtenRemedies(step, pointer)) {
      if (!('rework' in remedy) || !at.endsWith('/if-inconclusive')) continue;
      const from = beside.findIndex((one) => nameOf(one) === remedy['resume-at']);
      const again = from < 0 ? [] : beside.slice(from, beside.indexOf(step) + 1);
      const [first] = [...remedy.rework, ...again].flatMap((node) => disturbing(node, pack, new Set()));
      if (first === undefined) continue;
      yield {
        pointer: pointerTo(at, 'rework'),
        message: `${step.step} could not be decided, and before it is measured again ${first.step} does ${first.verb}: what may be good is changed.`,
        remedy:
          'Measure better: read again, with a finer instrument, or more often; and resume at a step that only reads. If that does not help, hold: and let somebody decide.',
      };
    }
  }
}

/** By what name a node can be resumed at. */
function nameOf(node: written.Node): string | undefined {
  if ('step' in node) return node.step;
  if ('perform' in node) return node.as ?? node.perform;
  if ('block' in node) return node.block;
  return 'choose' in node ? node.choose : undefined;
}

/** Verbs that change the engine. A gauge that is set up anew changes none of its parts. */
const verbs = ['turn', 'turn-to', 'turn-until', 'tighten', 'remove', 'renew', 'select', 'operation'] as const;

interface Deed {
  readonly step: string;
  readonly verb: (typeof verbs)[number];
}

function disturbing(node: written.Node, pack: Pack, seen: Set<string>): readonly Deed[] {
  if ('step' in node) {
    const verb = verbs.find((one) => node[one] !== undefined);
    return verb === undefined ? [] : [{ step: node.step, verb }];
  }
  const inside = (nodes: readonly written.Node[]): readonly Deed[] =>
    nodes.flatMap((one) => disturbing(one, pack, seen));
  if ('perform' in node) {
    const { perform } = node;
    if (seen.has(perform) || !Object.hasOwn(pack.procedures, perform)) return [];
    seen.add(perform);
    return inside(pack.procedures[perform]?.steps ?? []);
  }
  if ('choose' in node)
    return [...node.cases.flatMap((one) => inside(one.steps)), ...inside(node.otherwise ?? [])];
  return 'steps' in node ? inside(node.steps) : [];
}
