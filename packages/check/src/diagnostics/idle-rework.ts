import { pointerTo, type written } from '@ferrule/engine';
import { writtenRemedies, writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const idleRework: DiagnosticKind = {
  code: 'idle-rework',
  severity: 'warning',
  says: 'A rework is never allowed, or nothing is done before the same thing is judged again.',
  marks: 'value',
  examine: idleReworks,
};

function* idleReworks({ pack }: Subject): Generator<Finding> {
  for (const { step, pointer, beside } of writtenSteps(pack)) {
    for (const [remedy, at] of writtenRemedies(step, pointer)) {
      if (!('rework' in remedy)) continue;
      // After a strike the entry is taken again, and more need not be done.
      const isStruck = at.endsWith('/if-struck');
      if (Number(remedy.attempts) === 1 && !isStruck)
        yield {
          pointer: pointerTo(at, 'attempts'),
          message: `The first time counts too, so with 1 attempt the rework is never done: ${remedy.exhausted} follows at once.`,
          remedy: `Say 2 or more, or write hold: ${remedy.exhausted} in place of the rework.`,
        };
      if (isStruck || !remedy.rework.every(isIdle)) continue;
      const from = beside.findIndex((one) => 'step' in one && one.step === remedy['resume-at']);
      const again = from < 0 ? [] : beside.slice(from, beside.indexOf(step) + 1);
      if (again.length > 0 && again.every(isIdle))
        yield {
          pointer: pointerTo(at, 'rework'),
          message: `Nothing is done here, and ${step.step} judges again what it has judged before, until it happens to conform.`,
          remedy: 'Say what is put right before it is judged again, or write a hold.',
        };
    }
  }
}

const verbs = [
  'do',
  'turn',
  'turn-to',
  'turn-until',
  'tighten',
  'remove',
  'renew',
  'wait',
  'operation',
] as const;

/** A step that reads or looks, and does nothing else. */
const isIdle = (node: written.Node): boolean =>
  'step' in node && verbs.every((verb) => node[verb] === undefined);
