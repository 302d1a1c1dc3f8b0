import jsonLogic, { type RulesLogic } from 'json-logic-js';
import type { Unit } from '../quantity/index.ts';
import {
  type AmountAnswer,
  type Answer,
  answerOf,
  type Lack,
  mergeLacks,
  missingOf,
  type Read,
  type Value,
} from './answer.ts';
import { calculate, lackOfValue } from './calculate.ts';
import { amountOutcome, type Explanation, isWritten, type Outcome, type Says, WORDS } from './explanation.ts';
import { type Fact, type Formula, type Lowered, lower, SIGNS } from './lower.ts';
import { fits, isAmount, lackOf } from './recorded.ts';
import type {
  Calculation,
  Choice,
  Comparison,
  Connective,
  Membership,
  Named,
  Typed,
  TypedAmount,
} from './typed.ts';

/**
 * Whether a condition holds, with json-logic-js deciding over the lowered form, and how that came about.
 *
 * The truth is undefined if what is recorded does not settle it (strong Kleene logic: a false part settles an `and`,
 * a true one an `or`); the answer then says what is lacking. A value of another type than the declared one counts as
 * not recorded. A name is read at most once, when it is first needed, in the order of writing.
 * Throws only if json-logic-js and the explanation disagree, which a tampered library can bring about.
 */
export function evaluate(lowered: Lowered, read: Read): Answer & { readonly explanation: Explanation } {
  const evaluation = new Evaluation(read);
  const truth = evaluation.decide(lowered);
  const explanation = evaluation.explain(lowered.typed);
  return { ...answerOf(truth, lacksOf(explanation)), explanation };
}

/** The exact value of an amount and how it came about, or what is lacking for it. Nothing stands for infinity. */
export function evaluateAmount(
  typed: TypedAmount,
  read: Read,
): AmountAnswer & { readonly explanation: Explanation } {
  const explanation = new Evaluation(read).explain(typed);
  if (explanation.outcome.outcome === 'amount') return { amount: explanation.outcome.amount, explanation };
  const lacks = lacksOf(explanation);
  return { missing: missingOf(lacks), lacks, explanation };
}

/** One evaluation: what it has read and worked out so far. */
class Evaluation {
  readonly #read: Read;
  readonly #values = new Map<string, Value | undefined>();
  readonly #explained = new Map<Typed, Explanation>();

  constructor(read: Read) {
    this.#read = read;
  }

  decide({ typed, facts, surelyTrue, surelyFalse }: Lowered): boolean | undefined {
    const data: Record<string, unknown> = Object.create(null);
    for (const { name, fact } of facts) {
      Object.defineProperty(data, name, { get: () => this.#factValue(fact) });
    }
    // The library's types ask for lists that may be written to; it writes to none.
    const holds = (formula: Formula): boolean => jsonLogic.apply(formula as RulesLogic, data) === true;
    const truth = holds(surelyTrue) ? true : holds(surelyFalse) ? false : undefined;
    if (truth !== truthOf(this.explain(typed))) throw new Error('json-logic-js and the explanation disagree');
    return truth;
  }

  #factValue(fact: Fact): number | boolean | undefined {
    if (fact.fact === 'holds') return truthOf(this.explain(fact.typed));
    return sign(this.explain(fact.left), this.explain(fact.right));
  }

  explain(typed: Typed): Explanation {
    const known = this.#explained.get(typed);
    if (known) return known;
    const explanation = this.#explain(typed);
    this.#explained.set(typed, explanation);
    return explanation;
  }

  #explain(typed: Typed): Explanation {
    switch (typed.node) {
      case 'name':
        return this.#name(typed);
      case 'literal':
        return literal(typed);
      case 'if':
        return this.#if(typed);
      case 'calculation':
        return this.#calculation(typed);
      case 'comparison':
        return this.#comparison(typed);
      case 'membership':
        return this.#membership(typed);
      case 'connective':
        return this.#connective(typed);
    }
  }

  #name({ name, type }: Named<Typed['type']>): Explanation {
    if (!this.#values.has(name)) this.#values.set(name, this.#read(name));
    const value = this.#values.get(name);
    const outcome: Outcome =
      value === undefined || !fits(value, type)
        ? { outcome: 'unknown', lacks: [lackOf(name, value, type)] }
        : valueOutcome(value);
    return { says: 'name', words: name, operands: [], outcome };
  }

  #if({ condition, then, otherwise }: Choice<Typed['type'], Typed>): Explanation {
    const truth = this.decide(lower(condition));
    const asked = this.explain(condition);
    const yes = truth === true ? this.explain(then) : notNeeded(then);
    const no = truth === false ? this.explain(otherwise) : notNeeded(otherwise);
    const outcome = truth === undefined ? asked.outcome : truth ? yes.outcome : no.outcome;
    return said('if', [asked, yes, no], outcome);
  }

  #calculation(typed: Calculation): Explanation {
    const operands = typed.operands.map((operand) => this.explain(operand));
    const amounts = operands.flatMap(({ outcome }) => (outcome.outcome === 'amount' ? [outcome] : []));
    if (amounts.length < operands.length) return calculated(typed, operands, unknown(operands));
    const values = amounts.map((outcome) => outcome.amount);
    const amount = calculate(typed, values);
    const like = amounts.filter((outcome) => outcome.amount.kind === typed.type.kind);
    const unit = typed.operation === 'table' ? typed.table.points[0]?.[1].unit : like[0]?.unit;
    const decimals = scales(typed.operation) ? 0 : Math.max(0, ...like.map((outcome) => outcome.decimals));
    const outcome: Outcome = amount
      ? amountOutcome(amount, unit, decimals)
      : { outcome: 'unknown', lacks: [lackOfValue(typed, values)] };
    return calculated(typed, operands, outcome);
  }

  #comparison(typed: Comparison): Explanation {
    const operands = typed.operands.map((operand) => this.explain(operand));
    const links = operands.slice(1).map((right, i): boolean | undefined => {
      const left = operands[i];
      const signed = left && sign(left, right);
      return signed === undefined ? undefined : SIGNS[typed.relation].includes(signed);
    });
    const units = operands.flatMap(({ outcome }) =>
      outcome.outcome === 'amount' && isWritten(outcome.amount) ? [outcome.unit] : [],
    );
    const shown = operands.map((operand) => inUnit(operand, units[0]));
    if (links.includes(false)) return said(typed.relation, shown, { outcome: 'truth', truth: false });
    if (links.includes(undefined)) return said(typed.relation, shown, unknown(shown));
    return said(typed.relation, shown, { outcome: 'truth', truth: true });
  }

  #membership(typed: Membership): Explanation {
    const { negated, text, among } = typed;
    const says = (outcome: Outcome): Explanation => isAmong(typed, operands, outcome);
    const operands = [text, ...among].map((one) => this.explain(one));
    const [one, ...others] = operands.map(({ outcome }) =>
      outcome.outcome === 'text' ? outcome.text : undefined,
    );
    if (one === undefined || others.includes(undefined)) return says(unknown(operands));
    return says({ outcome: 'truth', truth: others.includes(one) !== negated });
  }

  #connective({ connective, operands }: Connective): Explanation {
    const settles = connective === 'or';
    const explained: Explanation[] = [];
    let settled = false;
    for (const operand of operands) {
      const one: Explanation = settled ? notNeeded(operand) : this.explain(operand);
      explained.push(one);
      settled ||= connective !== 'not' && truthOf(one) === settles;
    }
    if (settled) return said(connective, explained, { outcome: 'truth', truth: settles });
    if (explained.some((one) => truthOf(one) === undefined))
      return said(connective, explained, unknown(explained));
    const [first] = explained;
    const truth = connective === 'not' ? first !== undefined && truthOf(first) === false : !settles;
    return said(connective, explained, { outcome: 'truth', truth });
  }
}

function said(
  says: Exclude<Says, 'name' | 'literal'>,
  operands: readonly Explanation[],
  outcome: Outcome,
): Explanation {
  return { says, words: WORDS[says], operands, outcome };
}

function calculated(typed: Calculation, operands: readonly Explanation[], outcome: Outcome): Explanation {
  const words = typed.operation === 'table' ? typed.table.title : WORDS[typed.operation];
  return { says: typed.operation, words, operands, outcome };
}

function isAmong(
  { negated, among }: Membership,
  operands: readonly Explanation[],
  outcome: Outcome,
): Explanation {
  const explanation = said(negated ? 'not-in' : 'in', operands, outcome);
  return among.length === 1 && !negated ? { ...explanation, words: 'is' } : explanation;
}

function literal(typed: Typed & { readonly node: 'literal' }): Explanation {
  const value = 'amount' in typed ? typed.amount : 'text' in typed ? typed.text : typed.truth;
  const outcome = valueOutcome(value);
  const words = outcome.outcome === 'amount' ? outcome.written : String(value);
  return { says: 'literal', words, operands: [], outcome };
}

function valueOutcome(value: Value): Outcome {
  if (isAmount(value)) return amountOutcome(value);
  return typeof value === 'string' ? { outcome: 'text', text: value } : { outcome: 'truth', truth: value };
}

/** A part that was not looked at, named without its parts. */
function notNeeded(typed: Typed): Explanation {
  const outcome: Outcome = { outcome: 'not-needed' };
  switch (typed.node) {
    case 'name':
      return { says: 'name', words: typed.name, operands: [], outcome };
    case 'literal':
      return { ...literal(typed), outcome };
    case 'if':
      return said('if', [typed.condition, typed.then, typed.otherwise].map(notNeeded), outcome);
    case 'calculation':
      return calculated(typed, typed.operands.map(notNeeded), outcome);
    case 'comparison':
      return said(typed.relation, typed.operands.map(notNeeded), outcome);
    case 'membership':
      return isAmong(typed, [typed.text, ...typed.among].map(notNeeded), outcome);
    case 'connective':
      return said(typed.connective, typed.operands.map(notNeeded), outcome);
  }
}

function unknown(operands: readonly Explanation[]): Outcome {
  return { outcome: 'unknown', lacks: mergeLacks(operands.map(lacksOf)) };
}

function sign({ outcome: left }: Explanation, { outcome: right }: Explanation): -1 | 0 | 1 | undefined {
  return left.outcome === 'amount' && right.outcome === 'amount'
    ? left.amount.value.compare(right.amount.value)
    : undefined;
}

const truthOf = ({ outcome }: Explanation): boolean | undefined =>
  outcome.outcome === 'truth' ? outcome.truth : undefined;

const lacksOf = ({ outcome }: Explanation): readonly Lack[] =>
  outcome.outcome === 'unknown' ? outcome.lacks : [];

/** Whether an operation makes another number of decimals than its operands have. */
const scales = (operation: Calculation['operation']): boolean =>
  operation === 'times' || operation === 'over' || operation === 'table';

/** A computed number without a unit of its own, in the unit of what it is compared with: `90 %` beside `85 %`. */
function inUnit(explanation: Explanation, unit: Unit | undefined): Explanation {
  const { outcome } = explanation;
  if (outcome.outcome !== 'amount' || isWritten(outcome.amount) || outcome.unit.symbol !== '')
    return explanation;
  return { ...explanation, outcome: amountOutcome(outcome.amount, unit) };
}
