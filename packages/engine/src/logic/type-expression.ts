import { type Kind, parseQuantity } from '../quantity/index.ts';
import type { ExpressionFault, ExpressionFaultCode } from './fault.ts';
import { differenceKind, operationKind } from './kinds.ts';
import { insteadOf, literalAmount, literalText, quantityLiteral, recast } from './literal.ts';
import { nearest } from './nearest.ts';
import { ALLOWED, isOperator, NAMED_FORMS, type NamedForm, type Operator, REFUSED } from './operators.ts';
import { escaped, outOfBounds } from './out-of-bounds.ts';
import {
  type AmountType,
  article,
  type Scope,
  type TextType,
  type TruthType,
  type Type,
  writeType,
} from './type.ts';
import {
  type Choice,
  isAmount,
  isText,
  isTruth,
  type Operation,
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
  const typing = new Typing(scope);
  const expression = typing.whole(json, expected);
  return expression && typing.faults.length === 0
    ? { ok: true, expression, type: expression.type }
    : { ok: false, faults: typing.faults };
}

type Place = { readonly json: unknown; readonly at: string };
/** A scalar whose type its neighbours decide. `bare`: it stands in a named form, where it could be a name. */
type Open = { readonly node: 'open'; readonly text: string; readonly at: string; readonly bare: boolean };
/** Undefined: a fault has been reported, and nothing that follows from it is worth reporting. */
type Draft = Typed | Open | undefined;
type Placed<T> = { readonly draft: T; readonly at: string };

class Typing {
  readonly faults: ExpressionFault[] = [];
  readonly #scope: Scope;

  constructor(scope: Scope) {
    this.#scope = scope;
  }

  whole(json: unknown, expected: Type | undefined): Typed | undefined {
    const draft = this.#draft({ json, at: '' }, false);
    if (expected === undefined) return draft?.node === 'open' ? this.#settled(draft) : draft;
    const placed = { draft, at: '' };
    switch (expected.type) {
      case 'truth':
        return this.#asTruth(placed);
      case 'amount':
        return this.#asAmount(placed, expected.kind);
      case 'text': {
        const text = this.#asText(placed);
        return text && this.#meets(placed.at, text, expected) ? text : undefined;
      }
      case 'list':
        return this.#fault('wrong-type', '', described(draft), writeType(expected));
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
        return this.#fault(
          'not-a-whole-number',
          at,
          `the number ${json}`,
          'a text such as "0.20 mm"; a JSON number may have lost digits',
        );
      case 'boolean':
        return { node: 'literal', type: TRUTH, truth: json };
    }
    if (typeof json !== 'object' || json === null) {
      return this.#fault('not-an-expression', at, String(json), 'an expression');
    }
    if (Array.isArray(json)) {
      return this.#fault(
        'not-an-expression',
        at,
        'a list',
        'one expression; a list stands only where one is asked for',
      );
    }
    const entries: readonly (readonly [string, unknown])[] = Object.entries(json);
    const [only] = entries;
    if (only === undefined || entries.length > 1) {
      const keys = entries.map(([key]) => quoted(key)).slice(0, 5);
      const found =
        only === undefined ? 'an object without a key' : `an object with the keys ${keys.join(', ')}`;
      return this.#fault('not-one-key', at, found, 'an object with one key, the operator');
    }
    const [key, value] = only;
    if (isOperator(key)) return this.#operator(key, { json: value, at: `${at}/${escaped(key)}` });
    const instead = REFUSED.get(key);
    if (instead !== undefined)
      return this.#fault('refused-operator', at, `the operator ${quoted(key)}`, instead);
    return this.#fault(
      'unknown-operator',
      at,
      `the operator ${quoted(key)}`,
      'an operator',
      nearest(key, ALLOWED),
    );
  }

  #operator(key: Operator, value: Place): Typed | undefined {
    switch (key) {
      case 'var':
        return this.#var(value);
      case 'and':
      case 'or': {
        const operands = this.#counted(value, 1).map((place) => this.#asTruth(this.#placed(place)));
        return every(operands) && operands.length > 0
          ? { node: 'connective', type: TRUTH, connective: key, operands }
          : undefined;
      }
      case '!': {
        const [place] = this.#counted(value, 1, 1);
        const operand = place && this.#asTruth(this.#placed(place));
        return operand && { node: 'connective', type: TRUTH, connective: 'not', operands: [operand] };
      }
      case 'if':
        return this.#if(value);
      case '==':
      case '!=':
        return this.#equality(key, value);
      case '<':
      case '<=':
        return this.#order(key, this.#counted(value, 2, 3));
      case '>':
      case '>=':
        return this.#order(key, this.#counted(value, 2, 2));
      case '+':
        return this.#fold('plus', value, this.#counted(value, 2));
      case '*':
        return this.#fold('times', value, this.#counted(value, 2));
      case '-': {
        const places = this.#counted(value, 1, 2);
        return places.length === 1 ? this.#negated(value, places) : this.#fold('minus', value, places);
      }
      case '/':
        return this.#fold('over', value, this.#counted(value, 2, 2));
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
        return this.#fold('minus', value, this.#counted(value, 2, 2, key), true);
      case 'change':
        return this.#fold('minus', value, this.#keyed(value, key, 'to', 'from'), true);
      case 'share': {
        const share = this.#fold('over', value, this.#keyed(value, key, 'of', 'in'), true);
        if (!share || share.type.kind === 'ratio') return share;
        return this.#fault(
          'wrong-kind',
          value.at,
          `a ${share.type.kind}`,
          'two amounts of one kind, whose share is a ratio',
        );
      }
      case 'in':
        return this.#in(value);
    }
  }

  #var({ json, at }: Place): Typed | undefined {
    const [name, ...more]: readonly unknown[] = Array.isArray(json) ? json : [json];
    if (typeof name !== 'string' || name === '' || more.length > 0) {
      const found =
        more.length > 0 ? 'more than a name' : name === '' ? 'an empty name' : 'something other than a text';
      return this.#fault('bad-name', at, found, 'one name; a missing value has no default');
    }
    const type = this.#scope.lookup(name);
    return type ? this.#name(name, type, at) : this.#undeclared(name, at);
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
        return this.#fault('wrong-type', at, `the list ${quoted(name)}`, 'its members, each by name');
    }
  }

  #if(value: Place): Typed | undefined {
    const places = this.#counted(value, 3, 3);
    const [first, second, third] = places;
    if (!first || !second || !third) return undefined;
    const condition = this.#asTruth(this.#placed(first));
    const branches = [this.#placed(second), this.#placed(third)];
    const [one, other] = branches.map(({ draft }) => draft);
    if (!one || !other) return undefined;
    const lead = this.#lead(branches);
    if (lead === 'truth') {
      const [then, otherwise] = branches.map((branch) => this.#asTruth(branch));
      return condition && then && otherwise && { node: 'if', type: TRUTH, condition, then, otherwise };
    }
    if (lead === 'text') {
      const [then, otherwise] = branches.map((branch) => this.#asText(branch));
      if (!condition || !then || !otherwise) return undefined;
      return { node: 'if', type: eitherText(then.type, otherwise.type), condition, then, otherwise };
    }
    const [then, otherwise] = this.#ofOneKind(branches) ?? [];
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
    const sides = this.#counted(value, 2, 2).map((place) => this.#placed(place));
    const [left, right] = sides;
    if (!left?.draft || !right?.draft) return undefined;
    const lead = this.#lead(sides);
    if (lead === 'truth') {
      return this.#fault(
        'wrong-type',
        value.at,
        'a truth compared',
        'amounts or texts; write a truth as itself, or with ! before it',
      );
    }
    if (lead === 'amount') return this.#comparison(relation, this.#ofOneKind(sides));
    const text = this.#asText(left);
    const other = this.#asText(right);
    if (!text || !other) return undefined;
    // The fault belongs to the literal, which is what the author mistyped.
    const agrees =
      text.node === 'literal'
        ? this.#meets(left.at, text, other.type)
        : this.#meets(right.at, other, text.type);
    return agrees
      ? { node: 'membership', type: TRUTH, negated: relation === '!=', text, among: [other] }
      : undefined;
  }

  #in(value: Place): Typed | undefined {
    const [member, list] = this.#counted(value, 2, 2);
    if (!member || !list) return undefined;
    const text = this.#asText(this.#placed(member));
    if (!Array.isArray(list.json) || list.json.length === 0) {
      const found = Array.isArray(list.json) ? 'an empty list' : 'something other than a list';
      return this.#fault('wrong-type', list.at, found, 'a list of texts; a part of a text is not looked for');
    }
    const among = list.json.map((json: unknown, i): TypedText | undefined => {
      const at = `${list.at}/${i}`;
      if (typeof json !== 'string')
        return this.#fault('wrong-type', at, 'something other than a text', 'a text');
      const literal = literalText(json);
      return !text || this.#meets(at, literal, text.type) ? literal : undefined;
    });
    return text && every(among)
      ? { node: 'membership', type: TRUTH, negated: false, text, among }
      : undefined;
  }

  #order(relation: Relation, places: readonly Place[]): Typed | undefined {
    const operands = places.map((place) => this.#placed(place));
    return this.#comparison(relation, this.#ofOneKind(operands));
  }

  #comparison(relation: Relation, operands: readonly TypedAmount[] | undefined): Typed | undefined {
    return operands && operands.length > 1
      ? { node: 'comparison', type: TRUTH, relation, operands }
      : undefined;
  }

  #among(operation: Operation, value: Place, form?: NamedForm): TypedAmount | undefined {
    const places = this.#counted(value, 1, undefined, form);
    const [list] = places;
    if (form !== undefined && list?.at === value.at && hasNoOperator(list.json)) {
      return this.#fault('wrong-shape', value.at, `in ${form} ${keysOf(list.json)}`, 'a list', { form });
    }
    const members =
      list && places.length === 1 && Array.isArray(list.json)
        ? this.#counted({ json: list.json, at: list.at }, 1, undefined, form)
        : places;
    if (members.length === 0) return undefined;
    const operands = this.#ofOneKind(members.map((place) => this.#placed(place, form !== undefined)));
    return operands && this.#calculation(operation, operands, value.at);
  }

  #negated(value: Place, places: readonly Place[]): TypedAmount | undefined {
    const operands = this.#ofOneKind(places.map((place) => this.#placed(place)));
    return operands && this.#calculation('negated', operands, value.at);
  }

  /** Two or more operands from the left. A literal takes whichever kind makes the operation possible. */
  #fold(operation: Operation, value: Place, places: readonly Place[], bare = false): TypedAmount | undefined {
    const drafts = places.map((place) => this.#placed(place, bare));
    let left: Placed<Draft> | undefined;
    for (const right of drafts) {
      left = left ? { draft: this.#pair(operation, left, right, value.at), at: value.at } : right;
    }
    return drafts.length > 1 && left?.draft && left.draft.node === 'calculation' ? left.draft : undefined;
  }

  #pair(
    operation: Operation,
    left: Placed<Draft>,
    right: Placed<Draft>,
    at: string,
  ): TypedAmount | undefined {
    const one = this.#options(left, right.draft);
    const other = this.#options(right, left.draft);
    const [first] = one;
    const [second] = other;
    if (!first || !second) return undefined;
    for (const a of one) {
      for (const b of other) {
        if (operationKind(operation, [a.type.kind, b.type.kind]))
          return this.#calculation(operation, [a, b], right.at);
      }
    }
    return this.#calculation(operation, [first, second], at);
  }

  #options({ draft, at }: Placed<Draft>, neighbour: Draft): readonly TypedAmount[] {
    if (draft?.node !== 'open') {
      const amount = this.#asAmount({ draft, at });
      return amount ? [amount] : [];
    }
    const kind =
      neighbour && neighbour.node !== 'open' && isAmount(neighbour) ? neighbour.type.kind : undefined;
    const kinds = [undefined, kind, kind && differenceKind(kind)];
    const options = kinds
      .map((wanted) => literalAmount(draft.text, wanted))
      .filter((option) => option !== undefined);
    const [known] = options;
    return known ? options : every([this.#asAmount({ draft, at }, kind)]) ? options : [];
  }

  #calculation(operation: Operation, operands: readonly TypedAmount[], at: string): TypedAmount | undefined {
    const kinds = operands.map((operand) => operand.type.kind);
    const kind = operationKind(operation, kinds);
    if (!kind) return this.#fault('wrong-kind', at, kinds.map(article).join(' and '), EXPECTED[operation]);
    const divisor = operands[1];
    if (operation === 'over' && divisor?.node === 'literal' && divisor.amount.value.sign === 0) {
      return this.#fault('divides-by-zero', at, 'a division by zero', 'a divisor that is not zero');
    }
    return { node: 'calculation', type: { type: 'amount', kind }, operation, operands };
  }

  /** What operands of one type are: the type of the first that is not open, else what the literals look like. */
  #lead(operands: readonly Placed<Draft>[]): 'amount' | 'text' | 'truth' {
    for (const { draft } of operands) if (draft && draft.node !== 'open') return typeName(draft);
    return operands.every(({ draft }) => draft?.node === 'open' && literalAmount(draft.text))
      ? 'amount'
      : 'text';
  }

  #ofOneKind(operands: readonly Placed<Draft>[]): readonly TypedAmount[] | undefined {
    if (!operands.every(({ draft }) => draft)) {
      // The kind is not known, but a text that is no quantity at all is still worth a fault.
      for (const operand of operands) if (operand.draft?.node === 'open') this.#asAmount(operand);
      return undefined;
    }
    const settled = operands.find(({ draft }) => draft && draft.node !== 'open') ?? this.#leastFree(operands);
    if (!settled) return undefined;
    const lead = this.#asAmount(settled);
    if (!lead) return undefined;
    const amounts = operands.map((operand) =>
      operand === settled ? lead : this.#asAmount(operand, lead.type.kind),
    );
    return every(amounts) ? amounts : undefined;
  }

  /** Of literals alone, the first whose kind suits them all (`1` beside `0.5` is a ratio), else the first. */
  #leastFree(operands: readonly Placed<Draft>[]): Placed<Draft> | undefined {
    const suits = ({ draft }: Placed<Draft>, kind: Kind | undefined) =>
      draft?.node === 'open' && literalAmount(draft.text, kind) !== undefined;
    const lead = operands.find(({ draft }) => {
      const kind = draft?.node === 'open' ? literalAmount(draft.text)?.type.kind : undefined;
      return kind && operands.every((operand) => suits(operand, kind));
    });
    return lead ?? operands[0];
  }

  #placed({ json, at }: Place, bare = false): Placed<Draft> {
    return { draft: this.#draft({ json, at }, bare), at };
  }

  #asTruth({ draft, at }: Placed<Draft>): TypedTruth | undefined {
    if (!draft) return undefined;
    if (draft.node !== 'open' && isTruth(draft)) return draft;
    const expected = 'a truth: a comparison, and, or, !, or the name of a truth';
    return this.#fault('wrong-type', at, described(draft), expected, this.#asVar(draft));
  }

  #asText({ draft, at }: Placed<Draft>): TypedText | undefined {
    if (!draft) return undefined;
    if (draft.node === 'open') return literalText(draft.text);
    return isText(draft) ? draft : this.#fault('wrong-type', at, described(draft), 'a text');
  }

  #asAmount({ draft, at }: Placed<Draft>, kind?: Kind): TypedAmount | undefined {
    if (!draft) return undefined;
    const expected = kind ? article(kind) : 'an amount';
    if (draft.node !== 'open') {
      if (!isAmount(draft)) return this.#fault('wrong-type', at, described(draft), expected);
      const amount = kind ? recast(draft, kind) : draft;
      return amount ?? this.#fault('wrong-kind', at, article(draft.type.kind), expected);
    }
    const parsed = parseQuantity(draft.text, kind);
    if ('quantity' in parsed) return quantityLiteral(parsed.quantity);
    const other = literalAmount(draft.text);
    if (other)
      return this.#fault('wrong-kind', at, `${quoted(draft.text)}, ${article(other.type.kind)}`, expected);
    if (draft.bare && !/^[\s\d.,+\-−]/.test(draft.text)) return this.#undeclared(draft.text, at);
    return this.#fault(
      'not-a-quantity',
      at,
      `the text ${quoted(draft.text)}`,
      `${expected} with its unit`,
      this.#asVar(draft) ?? insteadOf(draft.text, parsed.fault),
    );
  }

  #settled(open: Open): Typed {
    return literalAmount(open.text) ?? literalText(open.text);
  }

  /** Whether a text may be one of those that the other side can be; a fault at the literal if it never can. */
  #meets(at: string, text: TypedText, other: TextType): boolean {
    const { among } = text.type;
    const allowed = other.among;
    if (!among || !allowed || among.some((one) => allowed.includes(one))) return true;
    const [word] = among;
    const suggestion = text.node === 'literal' && word !== undefined ? nearest(word, allowed) : undefined;
    this.#fault(
      'not-one-of',
      at,
      among.map(quoted).join(', '),
      `one of ${allowed.map(quoted).join(', ')}`,
      suggestion,
    );
    return false;
  }

  #counted(
    { json, at }: Place,
    least: number,
    most = Number.POSITIVE_INFINITY,
    form?: NamedForm,
  ): readonly Place[] {
    const places = Array.isArray(json)
      ? json.map((member: unknown, i) => ({ json: member, at: `${at}/${i}` }))
      : [{ json, at }];
    if (places.length >= least && places.length <= most) return places;
    const expected =
      most === least ? `${least}` : most < least + 2 ? `${least} or ${most}` : `at least ${least}`;
    const found = `${places.length} operand${places.length === 1 ? '' : 's'}`;
    if (form === undefined) this.#fault('wrong-count', at, found, expected);
    else this.#fault('wrong-count', at, `in ${form} ${found}`, expected, { form });
    return [];
  }

  #keyed({ json, at }: Place, form: NamedForm, ...keys: readonly string[]): readonly Place[] {
    const values: ReadonlyMap<string, unknown> = new Map(
      typeof json === 'object' && json !== null && !Array.isArray(json) ? Object.entries(json) : [],
    );
    if (values.size !== keys.length || !keys.every((key) => values.has(key))) {
      this.#fault(
        'wrong-shape',
        at,
        `in ${form} ${keysOf(json)}`,
        `the keys ${keys.map(quoted).join(' and ')}`,
        { form },
      );
      return [];
    }
    return keys.map((key) => ({ json: values.get(key), at: `${at}/${key}` }));
  }

  #undeclared(name: string, at: string): undefined {
    const suggestion = nearest(name, this.#scope.names());
    return this.#fault(
      'undeclared-name',
      at,
      `the name ${quoted(name)}`,
      'a declared name',
      suggestion && quoted(suggestion),
    );
  }

  #asVar(draft: Draft): string | undefined {
    return draft?.node === 'open' && this.#scope.lookup(draft.text)
      ? JSON.stringify({ var: draft.text })
      : undefined;
  }

  #fault(
    code: ExpressionFaultCode,
    at: string,
    found: string,
    expected: string,
    more?: string | { readonly form: NamedForm },
  ): undefined {
    const details =
      more === undefined
        ? {}
        : typeof more === 'string'
          ? { suggestion: more }
          : { writing: NAMED_FORMS[more.form] };
    this.faults.push({ code, at, found, expected, ...details });
    return undefined;
  }
}

const EXPECTED: Readonly<Record<Operation, string>> = {
  plus: 'two amounts of one kind, or a temperature and a difference of temperature',
  minus: 'two amounts of one kind, or a temperature and a difference of temperature',
  times: 'two amounts whose product has a kind',
  over: 'two amounts whose quotient has a kind',
  negated: 'an amount that can be negative by itself; a temperature has no opposite',
  lowest: 'amounts of one kind',
  highest: 'amounts of one kind',
  spread: 'amounts of one kind',
  mean: 'amounts of one kind',
};

function eitherText(one: TextType, other: TextType): TextType {
  if (!one.among || !other.among) return { type: 'text' };
  return { type: 'text', among: [...new Set([...one.among, ...other.among])] };
}

const typeName = (typed: Typed): 'amount' | 'text' | 'truth' => typed.type.type;

function every<T>(list: readonly (T | undefined)[]): list is readonly T[] {
  return list.every((member) => member !== undefined);
}

function described(draft: Draft): string {
  if (!draft) return 'nothing';
  return draft.node === 'open' ? `the text ${quoted(draft.text)}` : writeType(draft.type);
}

const isMap = (json: unknown): json is object =>
  typeof json === 'object' && json !== null && !Array.isArray(json);

/** Whether this is a map whose keys no operator is among: operands given by keys that do not fit. */
const hasNoOperator = (json: unknown): boolean =>
  isMap(json) && !Object.keys(json).some((key) => isOperator(key) || REFUSED.has(key));

function keysOf(json: unknown): string {
  if (Array.isArray(json)) return 'a list';
  const keys = isMap(json) ? Object.keys(json) : [];
  return keys.length === 0 ? 'no keys' : `the keys ${keys.slice(0, 5).map(quoted).join(', ')}`;
}

const quoted = (text: string): string => JSON.stringify(text.length > 40 ? `${text.slice(0, 39)}…` : text);
