import { type Pack, type Plan, type PlanTolerance, pointerTo } from '@ferrule/engine';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const uncertaintyUnknown: DiagnosticKind = {
  code: 'uncertainty-unknown',
  severity: 'warning',
  says: 'Nothing is said of the error of an instrument by whose readings something is judged.',
  marks: 'key',
  examine: instrumentsOfUnknownError,
};

/** One finding for an instrument; an error where a rule that needs the uncertainty is judged by it. */
function* instrumentsOfUnknownError({ pack, plans }: Subject): Generator<Finding> {
  const judgedBy = new Map<string, PlanTolerance>();
  for (const plan of plans) {
    for (const tolerance of plan.tolerances) {
      for (const id of instrumentsOf(tolerance, plan)) {
        const known = judgedBy.get(id);
        if (statesError(pack, id) || (known !== undefined && needsUncertainty(known))) continue;
        if (known === undefined || needsUncertainty(tolerance)) judgedBy.set(id, tolerance);
      }
    }
  }
  for (const [id, tolerance] of judgedBy) {
    const isNeeded = needsUncertainty(tolerance);
    yield {
      severity: isNeeded ? 'error' : 'warning',
      pointer: pointerTo('/instruments', id),
      message: isNeeded
        ? `Nothing is said of the error of ${id}, which judges ${tolerance.title} by the rule ${tolerance.rule.rule}: without it no reading could be decided.`
        : `Nothing is said of the error of ${id}, which judges ${tolerance.title}: nobody can say how far its readings prove anything.`,
      remedy: 'Add maximum-permissible-error, or calibration with its expanded-uncertainty.',
      other: [{ pointer: tolerance.pointer, message: 'what is judged with it' }],
    };
  }
}

const needsUncertainty = ({ rule }: PlanTolerance): boolean => rule.rule !== 'simple';

const statesError = ({ instruments }: Pack, id: string): boolean => {
  const written = instruments?.[id];
  return (
    written?.['maximum-permissible-error'] !== undefined ||
    written?.calibration !== undefined ||
    written?.['torque-class'] !== undefined
  );
};

/** Kinds of instrument by which a tolerance is read; what is counted has no error. */
const instrumentsOf = (tolerance: PlanTolerance, plan: Plan): readonly string[] =>
  tolerance.entries.flatMap((index) => {
    const entry = plan.entries[index];
    return entry?.entry === 'reading' && entry.kind !== 'count' ? (entry.instrument ?? []) : [];
  });
