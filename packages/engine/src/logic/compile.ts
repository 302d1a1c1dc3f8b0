import type { Amount } from '../quantity/index.ts';
import {
  type AmountAnswer,
  type Answer,
  answerOf,
  type Lack,
  mergeLacks,
  missingOf,
  type Read,
} from './answer.ts';
import { calculate, lackOfValue } from './calculate.ts';
import { SIGNS } from './lower.ts';
import { fits, isAmount, lackOf } from './recorded.ts';
import type { Choice, Comparison, Connective, Named, TypedAmount, TypedText, TypedTruth } from './typed.ts';

/**
 * The same answers as `evaluate`, without an explanation, for judging very many records: closures made once, no
 * generated code. A name may be read more than once.
 */
export function compile(typed: TypedTruth): (read: Read) => Answer {
  const run = truth(typed);
  const yes = answerOf(true, []);
  const no = answerOf(false, []);
  return (read) => {
    const found = run(read);
    return found === true ? yes : found === false ? no : answerOf(undefined, found.lacks);
  };
}

/** The same answers as `evaluateAmount`, without an explanation. */
export function compileAmount(typed: TypedAmount): (read: Read) => AmountAnswer {
  const run = amount(typed);
  return (read) => {
    const found = run(read);
    if (!(found instanceof Lacking)) return { amount: found };
    return { missing: missingOf(found.lacks), lacks: found.lacks };
  };
}

class Lacking {
  readonly lacks: readonly Lack[];
  constructor(lacks: readonly Lack[]) {
    this.lacks = lacks;
  }
}

type Run<T> = (read: Read) => T | Lacking;

function merged(found: readonly unknown[]): Lacking {
  return new Lacking(mergeLacks(found.flatMap((one) => (one instanceof Lacking ? [one.lacks] : []))));
}

function truth(typed: TypedTruth): Run<boolean> {
  switch (typed.node) {
    case 'name':
      return named(typed, (value) => (typeof value === 'boolean' ? value : undefined));
    case 'literal':
      return () => typed.truth;
    case 'if':
      return chosen(typed, truth);
    case 'connective':
      return connected(typed);
    case 'comparison':
      return compared(typed);
    case 'membership': {
      const { negated } = typed;
      const one = text(typed.text);
      const among = typed.among.map(text);
      return (read) => {
        const found = one(read);
        const others = among.map((other) => other(read));
        if (found instanceof Lacking || others.some((other) => other instanceof Lacking)) {
          return merged([found, ...others]);
        }
        return others.includes(found) !== negated;
      };
    }
  }
}

function text(typed: TypedText): Run<string> {
  switch (typed.node) {
    case 'name':
      return named(typed, (value) => (typeof value === 'string' ? value : undefined));
    case 'literal':
      return () => typed.text;
    case 'if':
      return chosen(typed, text);
  }
}

function amount(typed: TypedAmount): Run<Amount> {
  switch (typed.node) {
    case 'name':
      return named(typed, (value) => (isAmount(value) ? value : undefined));
    case 'literal':
      return () => typed.amount;
    case 'if':
      return chosen(typed, amount);
    case 'calculation': {
      const operands = typed.operands.map(amount);
      return (read) => {
        const amounts: Amount[] = [];
        const lacking: Lacking[] = [];
        for (const operand of operands) {
          const found = operand(read);
          if (found instanceof Lacking) lacking.push(found);
          else amounts.push(found);
        }
        if (lacking.length > 0) return merged(lacking);
        return calculate(typed, amounts) ?? new Lacking([lackOfValue(typed, amounts)]);
      };
    }
  }
}

function named<T>(
  { name, type }: Named<TypedTruth['type'] | TypedText['type'] | TypedAmount['type']>,
  as: (value: Amount | string | boolean) => T | undefined,
): Run<T> {
  return (read) => {
    const value = read(name);
    const found = value !== undefined && fits(value, type) ? as(value) : undefined;
    return found === undefined ? new Lacking([lackOf(name, value, type)]) : found;
  };
}

function chosen<Branch, T>(
  { condition, then, otherwise }: Choice<unknown, Branch>,
  compiled: (branch: Branch) => Run<T>,
): Run<T> {
  const asked = truth(condition);
  const yes = compiled(then);
  const no = compiled(otherwise);
  return (read) => {
    const found = asked(read);
    return found instanceof Lacking ? found : found ? yes(read) : no(read);
  };
}

function connected({ connective, operands }: Connective): Run<boolean> {
  const parts = operands.map(truth);
  if (connective === 'not') {
    const [part] = parts;
    if (!part) throw new Error('not without an operand');
    return (read) => {
      const found = part(read);
      return found instanceof Lacking ? found : !found;
    };
  }
  const settles = connective === 'or';
  return (read) => {
    let lacking: Lacking[] | undefined;
    for (const part of parts) {
      const found = part(read);
      if (found === settles) return settles;
      if (found instanceof Lacking) {
        lacking ??= [];
        lacking.push(found);
      }
    }
    return lacking ? merged(lacking) : !settles;
  };
}

function compared({ relation, operands }: Comparison): Run<boolean> {
  const signs = new Set(SIGNS[relation]);
  const sides = operands.map(amount);
  return (read) => {
    const found = sides.map((side) => side(read));
    let known = true;
    for (let i = 1; i < found.length; i++) {
      const left = found[i - 1];
      const right = found[i];
      if (!left || !right || left instanceof Lacking || right instanceof Lacking) known = false;
      else if (!signs.has(left.value.compare(right.value))) return false;
    }
    return known ? true : merged(found);
  };
}
