import { type Plan, pointerTo } from '@ferrule/engine';
import { runStraight } from '../straight-run.ts';
import { writtenNodes } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const sameRole: DiagnosticKind = {
  code: 'same-role',
  severity: 'warning',
  says: 'Somebody else is to look or to help, in the only role that there is, or in the role of who has done the work.',
  marks: 'value',
  examine: sameRoles,
};

function* sameRoles({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    yield* byTheWorker(plan);
    yield* byTheHelper(plan);
  }
  const roles = Object.keys(pack.roles ?? {});
  for (const { node, pointer } of writtenNodes(pack)) {
    if (!('step' in node)) continue;
    const { witness, 'together-with': together } = node;
    if (witness !== undefined && witness === together)
      yield {
        pointer: pointerTo(pointer, 'witness'),
        message: `A ${witness} does this step together with another person, and who does it cannot witness it: another ${witness} would be needed.`,
        remedy: 'Name another role, or leave one of the two out.',
        other: [{ pointer: pointerTo(pointer, 'together-with'), message: 'who does it too' }],
      };
    else if (witness !== undefined && roles.length === 1)
      yield {
        pointer: pointerTo(pointer, 'witness'),
        message: `${witness} is the only role, so who does the work would witness it: the witness is another person.`,
        remedy: 'Declare a role for the witness, and ask for it under persons.',
        other: [{ pointer: '/roles', message: 'the roles' }],
      };
  }
}

/** Who looks or accepts in the role of who does the work: the first that is asked for. A job has one person for each role. */
function* byTheWorker({ persons, roles, nodes, holds, procedure }: Plan): Generator<Finding> {
  const [worker] = persons;
  if (worker === undefined || roles.length < 2) return;
  const asked = {
    pointer: pointerTo('/procedures', procedure.id, 'preliminary', 'persons', 0),
    message: 'who does the work',
  };
  for (const node of nodes) {
    if (node.node !== 'step' || node.witness !== worker || node.together === worker) continue;
    yield {
      pointer: pointerTo(node.pointer, 'witness'),
      message: `The ${worker} does the work, and who does it cannot witness it.`,
      remedy: 'Name another role.',
      other: [asked],
    };
  }
  for (const node of nodes) {
    if (node.node !== 'step' || node.together !== worker) continue;
    yield {
      pointer: pointerTo(node.pointer, 'together-with'),
      message: `The ${worker} does the work, and a job has one person for each role: nobody is left to help.`,
      remedy: 'Name another role.',
      other: [asked],
    };
  }
  for (const { id, pointer, releases } of holds) {
    for (const [number, release] of releases.entries()) {
      if (release.by === 'rework' || release.role !== worker) continue;
      yield {
        pointer: pointerTo(pointer, 'release', number, release.by),
        message: `The ${worker} does the work, and who did it cannot release ${id} by ${release.by}.`,
        remedy: 'Name another role.',
        other: [asked],
      };
    }
  }
}

/** A hold point that waits for the role which helps, on every way, with the work in its block before it. */
function* byTheHelper(plan: Plan): Generator<Finding> {
  for (const { node: index, id, pointer, releases } of plan.holds) {
    const node = plan.nodes[index];
    if (node?.node !== 'hold') continue;
    const helpers = new Map<string, string>();
    runStraight(plan, node.parent + 1, index, new Map(), ({ id: step, together }) => {
      if (together !== undefined && !helpers.has(together)) helpers.set(together, step);
    });
    for (const [number, release] of releases.entries()) {
      const step = release.by === 'witness' ? helpers.get(release.role) : undefined;
      if (step === undefined || release.by !== 'witness') continue;
      yield {
        pointer: pointerTo(pointer, 'release', number, 'witness'),
        message: `The ${release.role} helps at ${step}, in the same block before the hold point ${id}, and whoever did work there cannot release it.`,
        remedy:
          'Name another role, or put the hold point into a block with nothing but the work that it looks at.',
        other: [{ pointer: node.pointer, message: 'the hold point' }],
      };
    }
  }
}
