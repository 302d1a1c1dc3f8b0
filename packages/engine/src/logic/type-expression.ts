import { Calculations } from './calculations.ts';
import { type Draft, described, every, type Place, type Placed, quoted } from './draft.ts';
import { ExpressionFaults } from './expression-faults.ts';
import type { ExpressionFault } from './fault.ts';
import { literalText } from './literal.ts';
import { counted, hasNoOperator, keyed, keysOf } from './operands.ts';
import type { NamedForm, Operator } from './operators.ts';
import { outOfBounds } from './out-of-bounds.ts';
import { readOperator } from './read-operator.ts';
import { Settling } from './settling.ts';
import { type AmountType, type Scope, type TextType, type TruthType, type Type, writeType } from './type.ts';
import {
  type Arithmetical,
  type Choice,
  type Relation,
  TRUTH,
  type Typed,
  type TypedAmount,
  type TypedText,
  type TypedTruth,
} from './typed.ts';

export type TypedOrFaults<Expression extends Typed = Typed> =
  | { readonly ok: true; readonly expression: Expression; readonly type: Expression['type'] }
  | { readonly ok: false; readonly faults: readonly ExpressionFault[] };

/**
 * Gives an expression (JSON Logic or a named form, read from JSON or from a text-only source) its types, or says
 * everything that is wrong with it. With `expected`, a whole expression of another type is a fault too.
 *
 * A bare text is a quantity where an amount is wanted and itself where a text is wanted; inside a named form it
 * is the name that it spells, if that is declared. A JSON integer is a bare number; a JSON boolean is a truth; any
 * other JSON number is refused, since its digits may already be lost.
 */
export function typeExpression(json: unknown, scope: Scope, expected: TruthType): TypedOrFaults<TypedTruth>;
export function typeExpression(json: unknown, scope: Scope, expected: AmountType): TypedOrFaults<TypedAmount>;
export function typeExpression(json: unknown, scope: Scope, expected: TextType): TypedOrFaults<TypedText>;
export function typeExpression(json: unknown, scope: Scope, expected?: Type): TypedOrFaults;
export function typeExpression(json: unknown, scope: Scope, expected?: Type): TypedOrFaults {
  const bound = outOfBounds(json);
  if (bound) return { ok: false, faults: [bound] };
  const faults = new ExpressionFaults();
  const expression = new Typing(scope, faults).whole(json, expected);
  return expression && faults.list.length === 0
    ? { ok: true, expression, type: expression.type }
    : { ok: false, faults: faults.list };
}

/** Goes down an expression and gives each part its type, from the operator that it stands under. */
class Typing {
  readonly #scope: Scope;
  readonly #faults: ExpressionFaults;
  readonly #settling: Settling;
  readonly #calculations: Calculations;

  constructor(scope: Scope, faults: ExpressionFaults) {
    this.#scope = scope;
    this.#faults = faults;
    this.#settling = new Settling(scope, faults);
    this.#calculations = new Calculations(this.#settling, faults);
  }

  whole(json: unknown, expected: Type | undefined): Typed | undefined {
    const draft = this.#draft({ json, at: '' }, false);
    if (expected === undefined) return draft?.node === 'open' ? this.#settling.settled(draft) : draft;
    const placed = { draft, at: '' };
    switch (expected.type) {
      case 'truth':
        return this.#settling.asTruth(placed);
      case 'amount':
        return this.#settling.asAmount(placed, expected.kind);
      case 'text': {
        const text = this.#settling.asText(placed);
        return text && this.#settling.meets(placed.at, text, expected) ? text : undefined;
      }
      case 'list':
        return this.#faults.add('wrong-type', '', described(draft), writeType(expected));
    }
  }

  #draft({ json, at }: Place, bare: boolean): Draft {
    switch (typeof json) {
      case 'string': {
        const type = bare ? this.#scope.lookup(json) : undefined;
        return type ? this.#name(json, type, at) : { node: 'open', text: json, at, bare };
      }
      case 'number':
        if (Number.isSafeInteger(json)) return { node: 'open', text: String(json), at, bare };
        return this.#faults.add(
          'not-a-whole-number',
          at,
          `the number ${json}`,
          'a text such as "0.20 mm"; a JSON number may have lost digits',
        );
      case 'boolean':
        return { node: 'literal', type: TRUTH, truth: json };
    }
    if (typeof json !== 'object' || json === null) {
      return this.#faults.add('not-an-expression', at, String(json), 'an expression');
    }
    if (Array.isArray(json)) {
      return this.#faults.add(
        'not-an-expression',
        at,
        'a list',
        'one expression; a list stands only where one is asked for',
      );
    }
    const read = readOperator(json, at, this.#faults);
    return read && this.#operator(read.operator, read.value);
  }

  #operator(key: Operator, value: Place): Typed | undefined {
    switch (key) {
      case 'var':
        return this.#var(value);
      case 'and':
      case 'or': {
        const operands = counted(this.#faults, value, 1).map((place) =>
          this.#settling.asTruth(this.#placed(place)),
        );
        return every(operands) && operands.length > 0
          ? { node: 'connective', type: TRUTH, connective: key, operands }
          : undefined;
      }
      case '!': {
        const [place] = counted(this.#faults, value, 1, 1);
        const operand = place && this.#settling.asTruth(this.#placed(place));
        return operand && { node: 'connective', type: TRUTH, connective: 'not', operands: [operand] };
      }
      case 'if':
        return this.#if(value);
      case '==':
      case '!=':
        return this.#equality(key, value);
      case '<':
      case '<=':
        return this.#order(key, counted(this.#faults, value, 2, 3));
      case '>':
      case '>=':
        return this.#order(key, counted(this.#faults, value, 2, 2));
      case '+':
        return this.#folded('plus', value, counted(this.#faults, value, 2));
      case '*':
        return this.#folded('times', value, counted(this.#faults, value, 2));
      case '-': {
        const places = counted(this.#faults, value, 1, 2);
        return places.length === 1 ? this.#negated(value, places) : this.#folded('minus', value, places);
      }
      case '/':
        return this.#folded('over', value, counted(this.#faults, value, 2, 2));
      case 'min':
        return this.#among('lowest', value);
      case 'max':
        return this.#among('highest', value);
      case 'lowest':
      case 'highest':
      case 'spread':
      case 'mean':
        return this.#among(key, value, key);
      case 'difference':
        return this.#folded('minus', value, counted(this.#faults, value, 2, 2, key), true);
      case 'change':
        return this.#folded('minus', value, keyed(this.#faults, value, key, 'to', 'from'), true);
      case 'share': {
        const share = this.#folded('over', value, keyed(this.#faults, value, key, 'of', 'in'), true);
        if (!share || share.type.kind === 'ratio') return share;
        return this.#faults.add(
          'wrong-kind',
          value.at,
          `a ${share.type.kind}`,
          'two amounts of one kind, whose share is a ratio',
        );
      }
      case 'around':
        return this.#around(value);
      case 'table':
        return this.#table(value);
      case 'in':
        return this.#in(value);
    }
  }

  #var({ json, at }: Place): Typed | undefined {
    const [name, ...more]: readonly unknown[] = Array.isArray(json) ? json : [json];
    if (typeof name !== 'string' || name === '' || more.length > 0) {
      const found =
        more.length > 0 ? 'more than a name' : name === '' ? 'an empty name' : 'something other than a text';
      return this.#faults.add('bad-name', at, found, 'one name; a missing value has no default');
    }
    const type = this.#scope.lookup(name);
    return type ? this.#name(name, type, at) : this.#settling.undeclared(name, at);
  }

  #name(name: string, type: Type, at: string): Typed | undefined {
    switch (type.type) {
      case 'amount':
        return { node: 'name', type, name };
      case 'text':
        return { node: 'name', type, name };
      case 'truth':
        return { node: 'name', type, name };
      case 'list':
        return this.#faults.add('wrong-type', at, `the list ${quoted(name)}`, 'its members, each by name');
    }
  }

  #if(value: Place): Typed | undefined {
    const places = counted(this.#faults, value, 3, 3);
    const [first, second, third] = places;
    if (!first || !second || !third) return undefined;
    const condition = this.#settling.asTruth(this.#placed(first));
    const branches = [this.#placed(second), this.#placed(third)];
    const [one, other] = branches.map(({ draft }) => draft);
    if (!one || !other) return undefined;
    const lead = this.#settling.lead(branches);
    if (lead === 'truth') {
      const [then, otherwise] = branches.map((branch) => this.#settling.asTruth(branch));
      return condition && then && otherwise && { node: 'if', type: TRUTH, condition, then, otherwise };
    }
    if (lead === 'text') {
      const [then, otherwise] = branches.map((branch) => this.#settling.asText(branch));
      if (!condition || !then || !otherwise) return undefined;
      return { node: 'if', type: eitherText(then.type, otherwise.type), condition, then, otherwise };
    }
    const [then, otherwise] = this.#settling.ofOneKind(branches) ?? [];
    if (!condition || !then || !otherwise) return undefined;
    const choice: Choice<typeof then.type, TypedAmount> = {
      node: 'if',
      type: then.type,
      condition,
      then,
      otherwise,
    };
    return choice;
  }

  #equality(relation: '==' | '!=', value: Place): Typed | undefined {
    const sides = counted(this.#faults, value, 2, 2).map((place) => this.#placed(place));
    const [left, right] = sides;
    if (!left?.draft || !right?.draft) return undefined;
    const lead = this.#settling.lead(sides);
    if (lead === 'truth') {
      return this.#faults.add(
        'wrong-type',
        value.at,
        'a truth compared',
        'amounts or texts; write a truth as itself, or with ! before it',
      );
    }
    if (lead === 'amount') return this.#comparison(relation, this.#settling.ofOneKind(sides));
    const text = this.#settling.asText(left);
    const other = this.#settling.asText(right);
    if (!text || !other) return undefined;
    // The fault belongs to the literal, which is what the author mistyped.
    const agrees =
      text.node === 'literal'
        ? this.#settling.meets(left.at, text, other.type)
        : this.#settling.meets(right.at, other, text.type);
    return agrees
      ? { node: 'membership', type: TRUTH, negated: relation === '!=', text, among: [other] }
      : undefined;
  }

  #in(value: Place): Typed | undefined {
    const [member, list] = counted(this.#faults, value, 2, 2);
    if (!member || !list) return undefined;
    const text = this.#settling.asText(this.#placed(member));
    if (!Array.isArray(list.json) || list.json.length === 0) {
      const found = Array.isArray(list.json) ? 'an empty list' : 'something other than a list';
      return this.#faults.add(
        'wrong-type',
        list.at,
        found,
        'a list of texts; a part of a text is not looked for',
      );
    }
    const among = list.json.map((json: unknown, i): TypedText | undefined => {
      const at = `${list.at}/${i}`;
      if (typeof json !== 'string')
        return this.#faults.add('wrong-type', at, 'something other than a text', 'a text');
      const literal = literalText(json);
      return !text || this.#settling.meets(at, literal, text.type) ? literal : undefined;
    });
    return text && every(among)
      ? { node: 'membership', type: TRUTH, negated: false, text, among }
      : undefined;
  }

  #order(relation: Relation, places: readonly Place[]): Typed | undefined {
    const operands = places.map((place) => this.#placed(place));
    return this.#comparison(relation, this.#settling.ofOneKind(operands));
  }

  #comparison(relation: Relation, operands: readonly TypedAmount[] | undefined): Typed | undefined {
    return operands && operands.length > 1
      ? { node: 'comparison', type: TRUTH, relation, operands }
      : undefined;
  }

  #among(operation: Arithmetical, value: Place, form?: NamedForm): TypedAmount | undefined {
    const places = counted(this.#faults, value, 1, undefined, form);
    const [list] = places;
    if (form !== undefined && list?.at === value.at && hasNoOperator(list.json)) {
      return this.#faults.add('wrong-shape', value.at, `in ${form} ${keysOf(list.json)}`, 'a list', { form });
    }
    const members =
      list && places.length === 1 && Array.isArray(list.json)
        ? counted(this.#faults, { json: list.json, at: list.at }, 1, undefined, form)
        : places;
    if (members.length === 0) return undefined;
    const operands = this.#settling.ofOneKind(
      members.map((place) => this.#placed(place, form !== undefined)),
    );
    return operands && this.#calculations.of(operation, operands, value.at);
  }

  #negated(value: Place, places: readonly Place[]): TypedAmount | undefined {
    const operands = this.#settling.ofOneKind(places.map((place) => this.#placed(place)));
    return operands && this.#calculations.of('negated', operands, value.at);
  }

  #around(value: Place): TypedAmount | undefined {
    const [of, circle] = keyed(this.#faults, value, 'around', 'of', 'circle');
    const amount = of && this.#settling.asAmount(this.#placed(of, true));
    const whole = amount && circle && this.#settling.asAmount(this.#placed(circle, true), amount.type.kind);
    if (!amount || !whole) return undefined;
    if (whole.node === 'literal' && whole.amount.value.sign > 0)
      return this.#calculations.of('around', [amount, whole], value.at);
    const at = `${value.at}/circle`;
    return this.#faults.add('wrong-shape', at, 'something else', 'a whole circle, as 360°', {
      form: 'around',
    });
  }

  #table(value: Place): TypedAmount | undefined {
    const [of, at] = keyed(this.#faults, value, 'table', 'of', 'at');
    if (!of || !at) return undefined;
    const table = typeof of.json === 'string' ? this.#scope.table?.(of.json) : undefined;
    if (!table)
      return this.#faults.add(
        'unknown-table',
        of.at,
        `the table ${quoted(String(of.json))}`,
        'a declared one',
      );
    const argument = this.#settling.asAmount(this.#placed(at, true), table.of);
    const type = { type: 'amount', kind: table.gives } as const;
    return argument && { node: 'calculation', type, operation: 'table', operands: [argument], table };
  }

  /** A calculation of operands from the left; `bare`: they stand in a named form. */
  #folded(
    operation: Arithmetical,
    value: Place,
    places: readonly Place[],
    bare = false,
  ): TypedAmount | undefined {
    const operands = places.map((place) => this.#placed(place, bare));
    return this.#calculations.folded(operation, operands, value.at);
  }

  #placed({ json, at }: Place, bare = false): Placed<Draft> {
    return { draft: this.#draft({ json, at }, bare), at };
  }
}

function eitherText(one: TextType, other: TextType): TextType {
  if (!one.among || !other.among) return { type: 'text' };
  return { type: 'text', among: [...new Set([...one.among, ...other.among])] };
}
