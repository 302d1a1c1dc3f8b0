import { namedSections, pointerTo } from '@ferrule/engine';
import { usedProcedures } from '../used-procedures.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const unusedName: DiagnosticKind = {
  code: 'unused-name',
  severity: 'warning',
  says: 'Something is declared, and nothing uses it.',
  marks: 'key',
  examine: unusedNames,
};

/** What a pack declares and nothing uses was forgotten where it should stand, or it should go. */
function* unusedNames(subject: Subject): Generator<Finding> {
  yield* unusedDeclarations(subject);
  yield* unusedOperations(subject);
  yield* unusedFacts(subject);
  yield* unusedIdentities(subject);
  yield* unusedInProcedures(subject);
}

function* unusedDeclarations({ pack, report }: Subject): Generator<Finding> {
  for (const section of namedSections) {
    // Which variants are used is told by the procedures that are for them.
    if (section === 'variants') continue;
    for (const name of Object.keys(pack[section] ?? {})) {
      if (report.isUsed(section, name)) continue;
      yield {
        pointer: pointerTo('', section, name),
        message: `Nothing uses ${name}.`,
        remedy: `Use it, or take it out of ${section}.`,
      };
    }
  }
}

/** An operation that laws are about and that no step is: they bind nothing. */
function* unusedOperations({ pack, report }: Subject): Generator<Finding> {
  const done = new Set(writtenSteps(pack).flatMap(({ step }) => [step.operation ?? []].flat()));
  for (const name of Object.keys(pack.operations ?? {})) {
    // What not even a law names is told as that.
    if (done.has(name) || !report.isUsed('operations', name)) continue;
    yield {
      pointer: pointerTo('/operations', name),
      message: `No step is ${name}, so the laws about it bind none.`,
      remedy: `Add operation: ${name} to the steps that are, or take it out with its laws.`,
    };
  }
}

function* unusedFacts({ pack, plans, report }: Subject): Generator<Finding> {
  const used = new Set(plans.map((plan) => plan.variant.id));
  for (const [name, variant] of Object.entries(pack.variants)) {
    if (plans.length > 0 && !used.has(name)) {
      yield {
        pointer: pointerTo('/variants', name),
        message: `No procedure is for ${name}.`,
        remedy: 'Add it to variants: of the procedures that are for it, or take it out.',
      };
      continue;
    }
    const facts = pointerTo('/variants', name, 'facts');
    for (const fact of Object.keys(variant.facts ?? {})) {
      if (report.isUsed(facts, fact)) continue;
      yield {
        pointer: pointerTo(facts, fact),
        message: `Nothing reads the fact ${fact} of ${name}.`,
        remedy: `Use it as variant.${fact}, or take it out.`,
      };
    }
  }
}

/** What a part says of its identity is kept only by steps that identify it. */
function* unusedIdentities({ pack, report }: Subject): Generator<Finding> {
  for (const [name, part] of Object.entries(pack.parts ?? {})) {
    // Nothing uses it at all: that is said once, at the part.
    if (!report.isUsed('parts', name) || report.isUsed('identities', name)) continue;
    const key = (['matched-with', 'tied-to-bore', 'identity'] as const).find(
      (one) => part[one] !== undefined,
    );
    // Without a number there is nothing to identify: that is said by itself.
    if (key === undefined || part.identity === undefined) continue;
    const so = key === 'identity' ? '' : `, so nothing looks whether ${key} is kept`;
    yield {
      pointer: pointerTo('/parts', name, key),
      message: `No step identifies ${name}${so}.`,
      remedy: `Add identify: { part: ${name}, as: found } and as: fitted to steps, or take ${key} out.`,
    };
  }
}

function* unusedInProcedures(subject: Subject): Generator<Finding> {
  for (const [name, procedure] of usedProcedures(subject)) {
    const pointer = pointerTo('/procedures', name);
    for (const section of ['readings', 'observations', 'derived'] as const) {
      for (const id of Object.keys(procedure[section] ?? {})) {
        if (subject.report.isUsed(`procedures/${name}`, id)) continue;
        yield {
          severity: 'error',
          pointer: pointerTo(pointer, section, id),
          message: `Nothing takes or reads ${id}.`,
          remedy: 'Take it in a step and use it, or take it out.',
        };
      }
    }
    for (const [index, id] of (procedure.takes ?? []).entries()) {
      // A bore is what every per-bore name in the procedure means.
      if (id === 'bore' || isNamedIn(id, { ...procedure, takes: [] })) continue;
      yield {
        pointer: pointerTo(pointer, 'takes', index),
        message: `${name} takes ${id}, and nothing in it asks for it.`,
        remedy: `Use it as {${id}} or in given: { ${id}: … }, or take it out here and where it is given.`,
      };
    }
    for (const id of Object.keys(procedure.holds ?? {})) {
      if (subject.report.isUsed(`procedures/${name}/holds`, id)) continue;
      yield {
        pointer: pointerTo(pointer, 'holds', id),
        message: `Nothing leads to the hold ${id}.`,
        remedy: `Name it in an exhausted: or a hold:, or take it out.`,
      };
    }
  }
}

/** Whether a name that a procedure takes stands in it: as `{name}`, as a key, or as a whole text. */
function isNamedIn(name: string, value: unknown): boolean {
  if (typeof value === 'string') return value === name || value.includes(`{${name}}`);
  if (typeof value !== 'object' || value === null) return false;
  return Object.entries(value).some(([key, inside]) => key === name || isNamedIn(name, inside));
}
