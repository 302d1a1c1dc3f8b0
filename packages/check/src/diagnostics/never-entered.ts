import { type Pack, pointerTo } from '@ferrule/engine';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const neverEntered: DiagnosticKind = {
  code: 'never-entered',
  severity: 'warning',
  says: 'A state has a value that no step gives it and in which no job starts.',
  marks: 'value',
  examine: allNeverEntered,
};

function* allNeverEntered({ pack, report }: Subject): Generator<Finding> {
  const entered = enteredIn(pack);
  for (const [id, { is, starts }] of Object.entries(pack.states ?? {})) {
    // A state that nothing names at all is reported as that.
    if (!report.isUsed('states', id)) continue;
    const values = entered.get(id) ?? new Set();
    const left = is.filter((value) => value !== starts && !values.has(value));
    if (left.length === 0) continue;
    const pointer = pointerTo('/states', id);
    if (left.length === is.length - 1)
      yield {
        pointer: pointerTo(pointer, 'is'),
        message: `No step changes ${id}, so it is always ${starts}.`,
        remedy: `Add changes: { ${id}: [${starts}, ${left[0] ?? '…'}] } to the step that does it, or take the state out.`,
      };
    else
      for (const value of left)
        yield {
          pointer: pointerTo(pointer, 'is', is.indexOf(value)),
          message: `${id} never becomes ${value}: no step changes it so.`,
          remedy: `Correct the step that should say [ …, ${value}], or take the value out.`,
        };
  }
}

function enteredIn(pack: Pack): ReadonlyMap<string, ReadonlySet<string>> {
  const found = new Map<string, Set<string>>();
  const enter = (state: string, value: string): void => {
    const values = found.get(state);
    if (values === undefined) found.set(state, new Set([value]));
    else values.add(value);
  };
  for (const { step } of writtenSteps(pack))
    for (const [state, [, to]] of Object.entries(step.changes ?? {})) enter(state, String(to));
  for (const procedure of Object.values(pack.procedures))
    for (const [state, value] of Object.entries(procedure.starts ?? {})) enter(state, value);
  return found;
}
