import { type Kind, parseQuantity } from '../quantity/index.ts';
import { type Draft, described, every, type Open, type Placed, quoted } from './draft.ts';
import type { ExpressionFaults } from './expression-faults.ts';
import { differenceKind } from './kinds.ts';
import { insteadOf, literalAmount, literalText, quantityLiteral, recast } from './literal.ts';
import { nearest } from './nearest.ts';
import { article, type Scope, type TextType } from './type.ts';
import {
  isAmount,
  isText,
  isTruth,
  type Typed,
  type TypedAmount,
  type TypedText,
  type TypedTruth,
} from './typed.ts';

/** Gives drafts the type that their neighbours want, literals by reading them; a fault where that cannot be. */
export class Settling {
  readonly #scope: Scope;
  readonly #faults: ExpressionFaults;

  constructor(scope: Scope, faults: ExpressionFaults) {
    this.#scope = scope;
    this.#faults = faults;
  }

  /** The draft as a truth, or a fault that says what it is instead. */
  asTruth({ draft, at }: Placed<Draft>): TypedTruth | undefined {
    if (!draft) return undefined;
    if (draft.node !== 'open' && isTruth(draft)) return draft;
    const expected = 'a truth: a comparison, and, or, !, or the name of a truth';
    return this.#faults.add('wrong-type', at, described(draft), expected, this.#asVar(draft));
  }

  /** The draft as a text; a literal always is one. */
  asText({ draft, at }: Placed<Draft>): TypedText | undefined {
    if (!draft) return undefined;
    if (draft.node === 'open') return literalText(draft.text);
    return isText(draft) ? draft : this.#faults.add('wrong-type', at, described(draft), 'a text');
  }

  /** The draft as an amount, of the kind when one is given; a literal is read as a quantity of that kind. */
  asAmount({ draft, at }: Placed<Draft>, kind?: Kind): TypedAmount | undefined {
    if (!draft) return undefined;
    const expected = kind ? article(kind) : 'an amount';
    if (draft.node !== 'open') {
      if (!isAmount(draft)) return this.#faults.add('wrong-type', at, described(draft), expected);
      const amount = kind ? recast(draft, kind) : draft;
      return amount ?? this.#faults.add('wrong-kind', at, article(draft.type.kind), expected);
    }
    const parsed = parseQuantity(draft.text, kind);
    if ('quantity' in parsed) return quantityLiteral(parsed.quantity);
    const other = literalAmount(draft.text);
    if (other)
      return this.#faults.add(
        'wrong-kind',
        at,
        `${quoted(draft.text)}, ${article(other.type.kind)}`,
        expected,
      );
    if (draft.bare && !/^[\s\d.,+\-−]/.test(draft.text)) return this.undeclared(draft.text, at);
    return this.#faults.add(
      'not-a-quantity',
      at,
      `the text ${quoted(draft.text)}`,
      `${expected} with its unit`,
      this.#asVar(draft) ?? insteadOf(draft.text, parsed.fault),
    );
  }

  /** A literal that nothing stands beside: an amount if it reads as one, else a text. */
  settled(open: Open): Typed {
    return literalAmount(open.text) ?? literalText(open.text);
  }

  /** Whether a text may be one of those that the other side can be; a fault at the literal if it never can. */
  meets(at: string, text: TypedText, other: TextType): boolean {
    const { among } = text.type;
    const allowed = other.among;
    if (!among || !allowed || among.some((one) => allowed.includes(one))) return true;
    const [word] = among;
    const suggestion = text.node === 'literal' && word !== undefined ? nearest(word, allowed) : undefined;
    this.#faults.add(
      'not-one-of',
      at,
      among.map(quoted).join(', '),
      `one of ${allowed.map(quoted).join(', ')}`,
      suggestion,
    );
    return false;
  }

  /** What operands of one type are: the type of the first that is not open, else what the literals look like. */
  lead(operands: readonly Placed<Draft>[]): 'amount' | 'text' | 'truth' {
    for (const { draft } of operands) if (draft && draft.node !== 'open') return draft.type.type;
    return operands.every(({ draft }) => draft?.node === 'open' && literalAmount(draft.text))
      ? 'amount'
      : 'text';
  }

  /** Operands as amounts of the kind of the first that is not open; undefined, with faults, when they cannot all be. */
  ofOneKind(operands: readonly Placed<Draft>[]): readonly TypedAmount[] | undefined {
    if (!operands.every(({ draft }) => draft)) {
      // The kind is not known, but a text that is no quantity at all is still worth a fault.
      for (const operand of operands) if (operand.draft?.node === 'open') this.asAmount(operand);
      return undefined;
    }
    const settled = operands.find(({ draft }) => draft && draft.node !== 'open') ?? this.#leastFree(operands);
    if (!settled) return undefined;
    const lead = this.asAmount(settled);
    if (!lead) return undefined;
    const amounts = operands.map((operand) =>
      operand === settled ? lead : this.asAmount(operand, lead.type.kind),
    );
    return every(amounts) ? amounts : undefined;
  }

  /** The amounts that an operand may be beside its neighbour: more than one only for a literal. */
  options({ draft, at }: Placed<Draft>, neighbour: Draft): readonly TypedAmount[] {
    if (draft?.node !== 'open') {
      const amount = this.asAmount({ draft, at });
      return amount ? [amount] : [];
    }
    const kind =
      neighbour && neighbour.node !== 'open' && isAmount(neighbour) ? neighbour.type.kind : undefined;
    const kinds = [undefined, kind, kind && differenceKind(kind)];
    const options = kinds
      .map((wanted) => literalAmount(draft.text, wanted))
      .filter((option) => option !== undefined);
    const [known] = options;
    return known ? options : every([this.asAmount({ draft, at }, kind)]) ? options : [];
  }

  /** The fault of a name that the scope does not have. */
  undeclared(name: string, at: string): undefined {
    const suggestion = nearest(name, this.#scope.names());
    return this.#faults.add(
      'undeclared-name',
      at,
      `the name ${quoted(name)}`,
      'a declared name',
      suggestion && quoted(suggestion),
    );
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

  /** How a literal that spells a declared name would be written as that name. */
  #asVar(draft: Draft): string | undefined {
    return draft?.node === 'open' && this.#scope.lookup(draft.text)
      ? JSON.stringify({ var: draft.text })
      : undefined;
  }
}
