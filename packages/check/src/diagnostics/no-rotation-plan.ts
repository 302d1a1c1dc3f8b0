import { type Plan, pointerTo, type StepNode, valueAt } from '@ferrule/engine';
import { type Known, runStraight } from '../straight-run.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const noRotationPlan: DiagnosticKind = {
  code: 'no-rotation-plan',
  severity: 'error',
  says: 'No plan of turning fits the stops of the variant.',
  marks: 'value',
  examine: begunElsewhere,
};

const CRANK = 0;

/** The stops of a plan are turned to one after the other, and the first is counted from a mark: the crankshaft has to be there. */
function* begunElsewhere(subject: Subject): Generator<Finding> {
  for (const plan of subject.plans) yield* inPlan(plan, subject);
}

function* inPlan(plan: Plan, { pack }: Subject): Generator<Finding> {
  const { crank, variant } = plan;
  const from = pack.variants[variant.id]?.rotation?.from;
  const start = crank.positions.findIndex((one) => one.mark === from);
  const first = crank.rotation?.stops[0];
  if (start < 0 || first === undefined) return;
  const known: Known = new Map(plan.starts.map((value, cell) => [cell, value]));
  const found: Finding[] = [];
  let turned: StepNode | undefined;
  let isPlanned = false;
  runStraight(plan, 0, plan.nodes.length, known, (step, now) => {
    if (step.act?.act === 'turn-to') turned = step;
    const turn = valueAt(pack, pointerTo(step.pointer, 'turn'));
    const isByPlan = typeof turn === 'string' && /^[a-z][a-z0-9-]*\.rotation$/.test(turn);
    const at = now.get(CRANK);
    if (isByPlan && !isPlanned && turned !== undefined && at !== undefined && at > 0 && at !== start + 1)
      found.push({
        pointer: pointerTo(turned.pointer, 'turn-to', 'mark'),
        message: `The stops are counted from ${from}, and the crankshaft is turned to ${crank.positions[at - 1]?.mark ?? 'another position'} before the first of them.`,
        remedy: `Write mark: ${from}, or count from the other mark in rotation.`,
        other: [{ pointer: pointerTo('/variants', variant.id, 'rotation', 'from'), message: variant.id }],
      });
    if (step.act?.act === 'turn' || step.act?.act === 'turn-to') isPlanned = isByPlan;
  });
  yield* found.slice(0, 1);
}
