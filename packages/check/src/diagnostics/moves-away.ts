import { type PlanTolerance, pointerTo, type Side, type TypedAmount } from '@ferrule/engine';
import { type ResolvedStep, resolvedSteps } from '../resolved-steps.ts';
import { writtenSteps } from '../written-steps.ts';
import type { DiagnosticKind, Finding, Subject } from './diagnostic-kind.ts';

export const movesAway: DiagnosticKind = {
  code: 'moves-away',
  severity: 'error',
  says: 'A choice from stock, or the work that follows a miss, would move its value away from the limits.',
  marks: 'value',
  examine: movesTheWrongWay,
};

/** Which way a value goes: up or down; 0 if it stays as it is. */
type Way = -1 | 0 | 1;

const ways = { raises: 1, lowers: -1 } as const;

/** Reworks with a step that says of itself that it moves the value that was missed further out. */
function* movesTheWrongWay(subject: Subject): Generator<Finding> {
  const steps = resolvedSteps(subject);
  for (const { step, pointer, reworkOf } of writtenSteps(subject.pack)) {
    if (reworkOf === undefined || (step.raises ?? step.lowers) === undefined) continue;
    const [judging] = steps.get(reworkOf) ?? [];
    const missed = judging && missedIn(judging, reworkOf, pointer);
    if (missed === undefined) continue;
    const { tolerance, side } = missed;
    const [of = ''] = tolerance.of.split('@');
    const away = side === 'high' ? 1 : -1;
    for (const key of ['raises', 'lowers'] as const) {
      for (const name of [step[key] ?? []].flat()) {
        const way = name === of ? 1 : wayOf(tolerance.value, prefixOf(tolerance) + name);
        if (way === undefined || way * ways[key] !== away) continue;
        const moved =
          name === of
            ? ''
            : `, and with that ${of}, which is worked out from it, ${away > 0 ? 'rises' : 'falls'}`;
        yield {
          pointer: pointerTo(pointer, key),
          message: `${step.step} ${key} ${name}${moved}. It is done when ${of} is too ${side} already.`,
          remedy: 'Look up which way this work moves it; exchange the sides, or correct the word.',
          other: [{ pointer: tolerance.pointer, message: `the limits: ${tolerance.says}` }],
        };
      }
    }
  }
}

/** What was missed, and on which side, where the step at `pointer` belongs to a rework of the step that judges it. */
function missedIn(
  { plan, node }: ResolvedStep,
  judging: string,
  pointer: string,
): { readonly tolerance: PlanTolerance; readonly side: Side } | undefined {
  const remedies = pointerTo(judging, 'if-nonconforming');
  const tolerance = node.check?.check === 'tolerance' ? plan.tolerances[node.check.tolerance] : undefined;
  if (tolerance === undefined || !pointer.startsWith(`${remedies}/`)) return undefined;
  const [only, second] = tolerance.sides;
  const side = pointer.startsWith(`${remedies}/when-high/`)
    ? 'high'
    : pointer.startsWith(`${remedies}/when-low/`)
      ? 'low'
      : second === undefined
        ? only
        : undefined;
  return side && { tolerance, side };
}

/** What stands before the names of the procedure that the tolerance belongs to: `baseline.` */
const prefixOf = ({ name, pointer }: PlanTolerance): string => {
  const id = pointer.slice(pointer.lastIndexOf('/') + 1);
  return (name.split('@')[0] ?? '').slice(0, -id.length);
};

/** Which way an amount goes when a value rises; undefined where its form alone does not tell. */
function wayOf(typed: TypedAmount, rising: string): Way | undefined {
  if (typed.node === 'name') return typed.name.split('@')[0] === rising ? 1 : 0;
  if (typed.node === 'literal') return 0;
  if (typed.node === 'if') return undefined;
  const operands = typed.operands.map((one) => wayOf(one, rising));
  const [first, second] = operands;
  switch (typed.operation) {
    case 'plus':
    case 'mean':
    case 'lowest':
    case 'highest':
      return together(operands);
    case 'minus':
      return together([first, turned(second)]);
    case 'negated':
      return turned(first);
    case 'around':
      return first;
    case 'table': {
      const values = typed.table.points.map(([, one]) => one.value);
      const steps = values.slice(1).map((one, index) => one.compare(values[index] ?? one));
      if (steps.every((one) => one >= 0)) return first;
      return steps.every((one) => one <= 0) ? turned(first) : undefined;
    }
    default:
      return operands.every((way) => way === 0) ? 0 : undefined;
  }
}

const turned = (way: Way | undefined): Way | undefined => (way === 1 ? -1 : way === -1 ? 1 : way);

/** Where all that moves moves one way, that way. */
function together(all: readonly (Way | undefined)[]): Way | undefined {
  const [first, ...others] = all.filter((way) => way !== 0);
  return others.every((way) => way === first)
    ? all.includes(undefined)
      ? undefined
      : (first ?? 0)
    : undefined;
}
