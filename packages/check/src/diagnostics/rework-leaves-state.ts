import type { Plan, Remedy, StepNode } from '@ferrule/engine';
import { act, type Known, runStraight } from '../straight-run.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const reworkLeavesState: DiagnosticKind = {
  code: 'rework-leaves-state',
  severity: 'error',
  says: 'A rework leaves a state as the work has left it, and the work that is done again cannot begin from there.',
  marks: 'key',
  examine: reworksThatLeave,
};

/** A way back that is longer is left to the proof: to follow it for each rework would cost too much. */
const LONGEST = 500;

function* reworksThatLeave({ plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const releases = new Map<number, number[]>();
    for (const { node, releases: ways } of plan.holds) {
      const bodies = ways.flatMap((one) => (one.by === 'rework' ? [one.body] : []));
      releases.set(node, [...(releases.get(node) ?? []), ...bodies]);
    }
    for (const node of plan.nodes) {
      if (node.node !== 'step') continue;
      for (const body of bodiesOf(node, releases.get(node.index) ?? [])) yield* leftBy(node, body, plan);
    }
  }
}

/** The blocks of rework that follow a result of a step, those that release its holds among them. */
function bodiesOf(step: StepNode, releases: readonly number[]): ReadonlySet<number> {
  const { check } = step;
  if (check === undefined) return new Set();
  const remedies: readonly (Remedy | undefined)[] =
    check.check === 'tolerance' ? [check.high, check.low, check.inconclusive] : [check.nonconforming];
  const reworks = remedies.flatMap((one) => (one?.remedy === 'rework' ? [one.body] : []));
  return new Set([...reworks, ...releases]);
}

/**
 * Does the work from where the rework goes on to the step that judges, then the rework, then the work again, as far as
 * what it does is certain. A change that cannot begin the second time is the fault.
 */
function* leftBy(step: StepNode, body: number, plan: Plan): Generator<Finding> {
  const rework = plan.nodes[body];
  if (rework?.node !== 'block' || rework.resumes === undefined) return;
  const { at } = rework.resumes;
  if (at > step.index || step.index - at > LONGEST) return;
  const known: Known = new Map();
  runStraight(plan, at, step.index, known);
  act(step, known);
  runStraight(plan, body + 1, rework.end, known);
  const findings: Finding[] = [];
  runStraight(plan, at, step.end, known, (again, now) => {
    if (findings.length > 0) return;
    for (const { test, because, pointer } of again.guards) {
      if (because.guard !== 'change-from' || !('cell' in test)) continue;
      const value = now.get(test.cell);
      const cell = plan.cells[test.cell];
      if (value === undefined || cell?.cell !== 'state' || test.among.includes(value)) continue;
      const needed = test.among.map((one) => cell.values[one]).join(' or ');
      findings.push({
        pointer: rework.pointer,
        message: `After this rework ${cell.state} is ${cell.values[value]}, and ${again.id}, which is done again, needs it ${needed}.`,
        remedy: `Add a step to the rework that brings ${cell.state} back to ${needed}, or go on at a later step.`,
        other: [{ pointer, message: `where ${cell.state} has to be ${needed}` }],
      });
      return;
    }
  });
  yield* findings;
}
