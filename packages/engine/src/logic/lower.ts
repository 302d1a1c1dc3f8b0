import type { Comparison, Relation, TypedAmount, TypedTruth } from './typed.ts';

/**
 * What a condition comes down to: facts, each with a flat name, and two formulas over them.
 *
 * The formulas are plain standard JSON Logic, serialisable, and use only `and`, `or`, `in` and `var`. A fact is a
 * number or a boolean, or is absent when it cannot be known, and `in` is false of an absent one. So both formulas
 * are false when the truth is unknown (strong logic of indeterminacy: S. C. Kleene, Introduction to Metamathematics,
 * § 64, from memory), and no absent value makes either true.
 */
export interface Lowered {
  readonly typed: TypedTruth;
  readonly facts: readonly { readonly name: string; readonly fact: Fact }[];
  readonly surelyTrue: Formula;
  readonly surelyFalse: Formula;
}

/** The part of JSON Logic that is left. */
export type Formula =
  | boolean
  | { readonly and: readonly Formula[] }
  | { readonly or: readonly Formula[] }
  | { readonly in: readonly [{ readonly var: string }, readonly (number | boolean)[]] };

export type Fact =
  /** −1, 0 or 1: the sign of the exact difference `left − right`. */
  | { readonly fact: 'sign'; readonly left: TypedAmount; readonly right: TypedAmount }
  /** Whether this part holds: a name, a membership of a text, the condition of an `if`. */
  | { readonly fact: 'holds'; readonly typed: TypedTruth };

const lowerings = new WeakMap<TypedTruth, Lowered>();

/** Lowers a condition. The answer for one typed expression is made once. */
export function lower(typed: TypedTruth): Lowered {
  const known = lowerings.get(typed);
  if (known) return known;
  const facts = new Map<string, { name: string; fact: Fact }>();
  const add = (fact: Fact): string => {
    const key = JSON.stringify(fact);
    const same = facts.get(key);
    if (same) return same.name;
    const name = `${fact.fact}-${facts.size}`;
    facts.set(key, { name, fact });
    return name;
  };
  const [surelyTrue, surelyFalse] = formulas(typed, add);
  const lowered = { typed, facts: [...facts.values()], surelyTrue, surelyFalse };
  lowerings.set(typed, lowered);
  return lowered;
}

type Formulas = readonly [surelyTrue: Formula, surelyFalse: Formula];
type Add = (fact: Fact) => string;

function formulas(typed: TypedTruth, add: Add): Formulas {
  switch (typed.node) {
    case 'literal':
      return [typed.truth, !typed.truth];
    case 'name':
    case 'membership':
      return held(typed, add);
    case 'comparison':
      return compared(typed, add);
    case 'connective': {
      const operands = typed.operands.map((operand) => formulas(operand, add));
      const [first] = operands;
      const surelyTrue = operands.map(([t]) => t);
      const surelyFalse = operands.map(([, f]) => f);
      if (typed.connective === 'and') return [{ and: surelyTrue }, { or: surelyFalse }];
      if (typed.connective === 'or') return [{ or: surelyTrue }, { and: surelyFalse }];
      return first ? [first[1], first[0]] : [false, false];
    }
    case 'if': {
      // The condition is one fact: written out, it would double the formulas at every level.
      const [yes, no] = held(typed.condition, add);
      const [thenTrue, thenFalse] = formulas(typed.then, add);
      const [otherwiseTrue, otherwiseFalse] = formulas(typed.otherwise, add);
      return [
        { or: [{ and: [yes, thenTrue] }, { and: [no, otherwiseTrue] }] },
        { or: [{ and: [yes, thenFalse] }, { and: [no, otherwiseFalse] }] },
      ];
    }
  }
}

function held(typed: TypedTruth, add: Add): Formulas {
  const held = { var: add({ fact: 'holds', typed }) };
  return [{ in: [held, [true]] }, { in: [held, [false]] }];
}

/** The signs of left − right with which a relation holds. */
export const SIGNS: Readonly<Record<Relation, readonly number[]>> = {
  '<': [-1],
  '<=': [-1, 0],
  '==': [0],
  '!=': [-1, 1],
  '>=': [0, 1],
  '>': [1],
};

function compared({ relation, operands }: Comparison, add: Add): Formulas {
  const signs = SIGNS[relation];
  const others = [-1, 0, 1].filter((sign) => !signs.includes(sign));
  const links = operands.slice(1).map((right, i): Formulas => {
    const left = operands[i];
    if (!left) throw new Error('a comparison without a left side');
    const sign = { var: add({ fact: 'sign', left, right }) };
    return [{ in: [sign, [...signs]] }, { in: [sign, [...others]] }];
  });
  const [only] = links;
  return only && links.length === 1
    ? only
    : [{ and: links.map(([t]) => t) }, { or: links.map(([, f]) => f) }];
}
