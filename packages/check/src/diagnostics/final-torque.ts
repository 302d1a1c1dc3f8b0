import { type Pack, pointerTo, writeQuantity } from '@ferrule/engine';
import { isFinal, type JointStep, jointSteps } from '../joint-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const finalTorque: DiagnosticKind = {
  code: 'final-torque',
  severity: 'error',
  says: 'The final torque of a joint is no higher than one at which it still turns or was held before.',
  marks: 'value',
  examine: lowFinalTorques,
};

function* lowFinalTorques({ pack, plans }: Subject): Generator<Finding> {
  const turning = turningValues(pack);
  for (const plan of plans) {
    const steps = jointSteps(plan, pack);
    for (const last of steps) {
      if (!isFinal(last, pack) || last.torque === undefined || last.isTurnedFurther) continue;
      for (const step of steps) {
        if (step.joint !== last.joint || step.torque === undefined || isFinal(step, pack)) continue;
        const common = step.changes.find(({ state }) => last.changes.some((one) => one.state === state));
        if (common === undefined) continue;
        const order = last.torque.value.compare(step.torque.value);
        const turns = turning.get(`${common.state} ${common.to}`);
        const follows = last.changes.some(
          ({ state, from }) => state === common.state && from.includes(common.to),
        );
        // From a higher torque that only seats it a joint is slackened first.
        if (turns === undefined ? !follows || last.slackens || order >= 0 : order > 0) continue;
        yield {
          pointer: pointerTo(last.pointer, 'tighten', 'stages', last.torqueStage),
          message:
            turns === undefined
              ? `${writeQuantity(last.torque)} is the final torque of ${last.joint}, and ${writeQuantity(step.torque)} was reached before.`
              : `${writeQuantity(last.torque)} is the final torque of ${last.joint}, and at ${writeQuantity(step.torque)} there is still ${turns}.`,
          remedy: 'Look both torques up; the final one is the higher.',
          other: [{ pointer: torqueAt(step), message: `${writeQuantity(step.torque)} here` }],
        };
      }
    }
  }
}

const torqueAt = ({ pointer, torqueStage }: JointStep): string =>
  pointerTo(pointer, 'tighten', 'stages', torqueStage);

/** Values of states without which an operation is forbidden, each with what is done then: `pump at-turning-torque`. */
function turningValues({ interlocks = [], operations = {} }: Pack): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  for (const law of interlocks) {
    if (law.operation === undefined) continue;
    const title = operations[law.operation]?.title ?? law.operation;
    for (const [state, value] of Object.entries(law['only-while'] ?? {})) {
      const values = typeof value === 'string' ? [value] : Array.isArray(value) ? value : [];
      for (const one of values) found.set(`${state} ${one}`, title.charAt(0).toLowerCase() + title.slice(1));
    }
  }
  return found;
}
