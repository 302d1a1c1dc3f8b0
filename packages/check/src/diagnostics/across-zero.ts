import { type Plan, pointerTo } from '@ferrule/engine';
import { type FindingOfVariant, oncePerPlace } from '../once-per-place.ts';
import type { Typed } from '../parts-in.ts';
import type { DiagnosticKind, Subject } from './diagnostic-kind.ts';

export const acrossZero: DiagnosticKind = {
  code: 'across-zero',
  severity: 'warning',
  says: 'An expression calculates or compares angles on a circle as if they lay on a line.',
  marks: 'value',
  examine: ({ plans }: Subject) => oncePerPlace(straightened(plans)),
};

/** Angles on a circle that no `around` brings to the turn that is meant. A tolerance of the reading itself does so. */
function* straightened(plans: readonly Plan[]): Generator<FindingOfVariant> {
  for (const plan of plans) {
    const circles = new Map(
      plan.entries.flatMap((entry) =>
        entry.entry === 'reading' && entry.circle !== undefined ? [[entry.name, entry]] : [],
      ),
    );
    if (circles.size === 0) continue;
    const places = [
      ...plan.tolerances.flatMap(({ value, limitsFrom, of, pointer }) => [
        ...(value.node === 'name' ? [] : [{ typed: value, pointer: derivedAt(of, pointer) }]),
        ...Object.values(limitsFrom ?? {}).map((typed) => ({ typed, pointer })),
      ]),
      ...plan.conditions.map(({ lowered, pointer }) => ({ typed: lowered.typed, pointer })),
    ];
    for (const { typed, pointer } of places) {
      const name = [...namesOnLine(typed)].find((one) => circles.has(one));
      const entry = circles.get(name ?? '');
      if (name === undefined || entry === undefined) continue;
      yield {
        variant: plan.variant.id,
        pointer,
        message: `${name.split('@')[0]} lies on a circle, and here it is taken as if it lay on a line: just below zero it counts as nearly a whole turn.`,
        remedy: 'Put the difference into around, with the same circle.',
        other: [{ pointer: pointerTo(entry.pointer, 'circle'), message: 'the circle' }],
      };
    }
  }
}

/** Where the expression of a derived value is written; for one of a performed procedure, where it is named. */
function derivedAt(of: string, pointer: string): string {
  const [name = of] = of.split('@');
  const procedure = pointer.split('/').slice(0, 3).join('/');
  return name.includes('.') ? pointerTo(pointer, 'of') : pointerTo(procedure, 'derived', name, 'is');
}

/** The names in an expression that stand in no `around`. */
function* namesOnLine(typed: Typed): Generator<string> {
  switch (typed.node) {
    case 'name':
      yield typed.name;
      return;
    case 'if':
      for (const one of [typed.condition, typed.then, typed.otherwise]) yield* namesOnLine(one);
      return;
    case 'calculation':
      if (typed.operation === 'around') return;
      for (const one of typed.operands) yield* namesOnLine(one);
      return;
    case 'comparison':
    case 'connective':
      for (const one of typed.operands) yield* namesOnLine(one);
      return;
    default:
      return;
  }
}
