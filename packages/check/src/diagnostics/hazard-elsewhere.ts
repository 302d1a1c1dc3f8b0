import { type Pack, pointerTo, type written } from '@ferrule/engine';
import { type WrittenStep, writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const hazardElsewhere: DiagnosticKind = {
  code: 'hazard-elsewhere',
  severity: 'warning',
  says: 'A hazard of what a step works with, or of every other step of the same work, is not shown by it.',
  marks: 'key',
  examine: hazardsElsewhere,
};

function* hazardsElsewhere({ pack }: Subject): Generator<Finding> {
  yield* hazardsOfUsed(pack);
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

/** What is said once at a tool or a supply belongs to each step with it. */
function* hazardsOfUsed(pack: Pack): Generator<Finding> {
  for (const { step, pointer } of writtenSteps(pack)) {
    for (const id of step.with ?? []) {
      for (const section of ['equipment', 'supplies'] as const) {
        const declared = pack[section] ?? {};
        const hazards = Object.hasOwn(declared, id) ? (declared[id]?.hazards ?? []) : [];
        const bare = hazards.filter((hazard) => !(step.hazards ?? []).includes(hazard));
        if (bare.length === 0) continue;
        yield {
          pointer: pointerTo(pointer, 'step'),
          message: `${step.step} works with ${id}, and does not show ${bare.join(', ')}.`,
          remedy: `Add to its hazards: ${bare.join(', ')}.`,
          other: [
            { pointer: pointerTo('', section, id, 'hazards'), message: 'the hazards of all work with it' },
          ],
        };
      }
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
