import { pointerTo, type Quantity, writeQuantity } from '@ferrule/engine';
import { type JointStep, jointSteps } from '../joint-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const stageOrder: DiagnosticKind = {
  code: 'stage-order',
  severity: 'error',
  says: 'The stages of a torque come in an order in which they do nothing.',
  marks: 'value',
  examine: stagesOutOfOrder,
};

function* stagesOutOfOrder({ pack, plans }: Subject): Generator<Finding> {
  for (const plan of plans) {
    const tight = new Map<string, boolean>();
    for (const step of jointSteps(plan, pack)) {
      yield* inStep(step, tight.get(step.joint) === true);
      const [last] = step.stages.slice(-1);
      if (last !== undefined) tight.set(step.joint, last.stage !== 'slacken');
    }
  }
}

/** `isTightened`: a step before has brought the joint to a torque. */
function* inStep({ stages, pointer }: JointStep, isTightened: boolean): Generator<Finding> {
  let isTight = isTightened;
  let before: Quantity | undefined;
  let isTurned = false;
  for (const [index, stage] of stages.entries()) {
    const at = pointerTo(pointer, 'tighten', 'stages', index);
    if (stage.stage === 'slacken') {
      isTight = false;
      isTurned = false;
      before = undefined;
    } else if (stage.stage === 'angle') {
      if (!isTight)
        yield {
          pointer: at,
          message: `${writeQuantity(stage.angle)} further is an angle from where a torque has brought the joint, and none has before.`,
          remedy: 'Put the torque before the angle.',
        };
      isTurned = isTight;
      isTight = true;
    } else {
      if (isTurned)
        yield {
          pointer: at,
          severity: 'warning',
          message: `${writeQuantity(stage.torque)} comes after an angle: how tight the joint is by then no torque says, and the wrench may click at once.`,
          remedy: 'Put the torques before the angles, or slacken in between.',
          other: [
            { pointer: pointerTo(pointer, 'tighten', 'stages', index - 1), message: 'what comes before' },
          ],
        };
      if (before !== undefined && stage.torque.value.compare(before.value) < 0)
        yield {
          pointer: at,
          message: `${writeQuantity(stage.torque)} comes after ${writeQuantity(before)}: a wrench that is set lower clicks at once and turns nothing.`,
          remedy: 'Put the stages in rising order, or slacken in between.',
          other: [
            { pointer: pointerTo(pointer, 'tighten', 'stages', index - 1), message: 'the higher stage' },
          ],
        };
      if (before?.value.equals(stage.torque.value) === true)
        yield {
          pointer: at,
          severity: 'warning',
          message: `${writeQuantity(stage.torque)} comes twice, and the second time nothing turns.`,
          remedy: 'Correct one of them, or take it out.',
          other: [
            { pointer: pointerTo(pointer, 'tighten', 'stages', index - 1), message: 'the same torque' },
          ],
        };
      before = stage.torque;
      isTight = true;
    }
  }
}
