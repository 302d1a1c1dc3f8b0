import { pointerTo, type written } from '@ferrule/engine';
import { type WrittenStep, writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const hazardElsewhere: DiagnosticKind = {
  code: 'hazard-elsewhere',
  severity: 'warning',
  says: 'Every other step of the same work shows a hazard that this one does not show.',
  marks: 'key',
  examine: hazardsElsewhere,
};

function* hazardsElsewhere({ pack }: Subject): Generator<Finding> {
  const groups = new Map<string, WrittenStep[]>();
  for (const one of writtenSteps(pack)) {
    for (const work of worksOf(one.step)) {
      const group = groups.get(work);
      if (group === undefined) groups.set(work, [one]);
      else group.push(one);
    }
  }
  for (const [work, group] of groups) {
    const isTurning = work === TURN;
    if (group.length < (isTurning ? 2 : 4)) continue;
    const hazards = new Set(group.flatMap(({ step }) => step.hazards ?? []));
    for (const hazard of hazards) {
      const [bare, second] = group.filter(({ step }) => !(step.hazards ?? []).includes(hazard));
      const shown = group.find(({ step }) => (step.hazards ?? []).includes(hazard));
      if (bare === undefined || second !== undefined || shown === undefined) continue;
      yield {
        pointer: pointerTo(bare.pointer, 'step'),
        message: `${bare.step.step} ${work}, as ${shown.step.step} does, and does not show ${hazard}.`,
        remedy: `Add hazards: [${hazard}], or take it out where it does not belong.`,
        other: [{ pointer: pointerTo(shown.pointer, 'hazards'), message: 'where it is shown' }],
      };
    }
  }
}

const TURN = 'turns the crankshaft';

function worksOf(step: written.Step): readonly string[] {
  const turns = step.turn !== undefined || step['turn-to'] !== undefined || step['turn-until'] !== undefined;
  return [
    ...(turns ? [TURN] : []),
    ...[step.operation ?? []].flat().map((operation) => `is ${operation}`),
    ...(step.tighten === undefined ? [] : [`tightens ${step.tighten.joint}`]),
  ];
}
