import { pointerTo, writeQuantity } from '@ferrule/engine';
import { isFinal, type JointStep, jointSteps } from '../joint-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const torqueDiffers: DiagnosticKind = {
  code: 'torque-differs',
  severity: 'warning',
  says: 'One joint is brought to different final torques in two places.',
  marks: 'value',
  examine: differingTorques,
};

function* differingTorques({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const byJoint = new Map<string, JointStep[]>();
    for (const step of jointSteps(plan, pack)) {
      if (!isFinal(step, pack) || step.torque === undefined) continue;
      const steps = byJoint.get(step.joint);
      if (steps === undefined) byJoint.set(step.joint, [step]);
      else steps.push(step);
    }
    for (const [joint, steps] of byJoint) {
      const usual = mostUsual(steps);
      if (usual === undefined) continue;
      for (const step of steps) {
        if (ending(step) === ending(usual)) continue;
        yield {
          pointer: pointerTo(step.pointer, 'tighten', 'stages', step.stages.length - 1),
          message: `${joint} is brought to ${said(step)} here, and to ${said(usual)} elsewhere.`,
          remedy: 'Make them the same, or give what differs a joint of its own.',
          other: [
            {
              pointer: pointerTo(usual.pointer, 'tighten', 'stages', usual.stages.length - 1),
              message: `${said(usual)} here`,
            },
          ],
        };
      }
    }
  }
}

/** What a step ends with, in base units: its last torque and the angles after it. */
const ending = ({ stages, torqueStage }: JointStep): string =>
  stages
    .slice(torqueStage)
    .map((one) =>
      one.stage === 'torque'
        ? one.torque.value.toString()
        : one.stage === 'angle'
          ? `+${one.angle.value.toString()}`
          : '',
    )
    .join(' ');

const said = ({ stages, torqueStage }: JointStep): string =>
  stages
    .slice(torqueStage)
    .map((one) =>
      one.stage === 'torque'
        ? writeQuantity(one.torque)
        : one.stage === 'angle'
          ? `+ ${writeQuantity(one.angle)}`
          : 'slack',
    )
    .join(', ');

/** The first of those that end as most do. */
function mostUsual(steps: readonly JointStep[]): JointStep | undefined {
  const count = (step: JointStep): number => steps.filter((one) => ending(one) === ending(step)).length;
  return steps.reduce<JointStep | undefined>(
    (best, one) => (best === undefined || count(one) > count(best) ? one : best),
    undefined,
  );
}
