import type { Comparison, TypedAmount, TypedText, TypedTruth } from './typed.ts';

/** The answers that a condition can come to. Both may be false: then something missing keeps it unknown. */
export interface PossibleTruths {
  readonly true: boolean;
  readonly false: boolean;
}

/**
 * Which answers a condition can come to when only some names are recorded, whatever their values are. Its parts are
 * taken as independent of one another, so an answer that it gives may turn out impossible, but never the other way round.
 */
export function possibleTruths(typed: TypedTruth, isRecorded: (name: string) => boolean): PossibleTruths {
  const { true: yes, false: no } = outcomes(typed, isRecorded);
  return { true: yes, false: no };
}

/** Whether an amount can have a value when only some names are recorded. */
export function canHaveValue(typed: TypedAmount | TypedText, isRecorded: (name: string) => boolean): boolean {
  switch (typed.node) {
    case 'name':
      return isRecorded(typed.name);
    case 'literal':
      return true;
    case 'calculation':
      return typed.operands.every((operand) => canHaveValue(operand, isRecorded));
    case 'if': {
      const asked = outcomes(typed.condition, isRecorded);
      const then = asked.true && canHaveValue(typed.then, isRecorded);
      return then || (asked.false && canHaveValue(typed.otherwise, isRecorded));
    }
  }
}

interface Outcomes extends PossibleTruths {
  readonly unknown: boolean;
}

const UNKNOWN: Outcomes = { true: false, false: false, unknown: true };
const EITHER: Outcomes = { true: true, false: true, unknown: false };

function outcomes(typed: TypedTruth, isRecorded: (name: string) => boolean): Outcomes {
  switch (typed.node) {
    case 'literal':
      return { true: typed.truth, false: !typed.truth, unknown: false };
    case 'name':
      return isRecorded(typed.name) ? EITHER : UNKNOWN;
    case 'membership':
      return [typed.text, ...typed.among].every((text) => canHaveValue(text, isRecorded)) ? EITHER : UNKNOWN;
    case 'comparison':
      return compared(typed, isRecorded);
    case 'connective': {
      const operands = typed.operands.map((operand) => outcomes(operand, isRecorded));
      if (typed.connective === 'not') return negated(operands[0] ?? UNKNOWN);
      if (typed.connective === 'and') return joined(operands);
      return negated(joined(operands.map(negated)));
    }
    case 'if': {
      const asked = outcomes(typed.condition, isRecorded);
      const then = asked.true ? outcomes(typed.then, isRecorded) : undefined;
      const otherwise = asked.false ? outcomes(typed.otherwise, isRecorded) : undefined;
      return {
        true: then?.true === true || otherwise?.true === true,
        false: then?.false === true || otherwise?.false === true,
        unknown: asked.unknown || then?.unknown === true || otherwise?.unknown === true,
      };
    }
  }
}

/** A chain of comparisons is false as soon as one link is, and true only when all are. */
function compared({ operands }: Comparison, isRecorded: (name: string) => boolean): Outcomes {
  const links = operands.slice(1).map((right, place): Outcomes => {
    const left = operands[place];
    const known = left !== undefined && canHaveValue(left, isRecorded) && canHaveValue(right, isRecorded);
    if (!known) return UNKNOWN;
    // Two values that are written out compare in one way only, but which one does not matter here.
    return EITHER;
  });
  return joined(links);
}

const negated = (one: Outcomes): Outcomes => ({ true: one.false, false: one.true, unknown: one.unknown });

/** All of them: strong Kleene logic. */
function joined(all: readonly Outcomes[]): Outcomes {
  const someFalse = all.some((one) => one.false);
  const noneMustBeFalse = all.every((one) => one.true || one.unknown);
  return {
    true: all.every((one) => one.true),
    false: someFalse,
    unknown: noneMustBeFalse && all.some((one) => one.unknown),
  };
}
