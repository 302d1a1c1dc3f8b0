import type { Quantity } from '../quantity/index.ts';
import type { Table } from './table.ts';
import type { AmountType, TextType, TruthType } from './type.ts';

/** An expression whose every part has a type. Only `typeExpression` makes one. */
export type Typed = TypedTruth | TypedAmount | TypedText;

export type TypedAmount = Named<AmountType> | AmountLiteral | Calculation | Choice<AmountType, TypedAmount>;

export type TypedText =
  | Named<TextType>
  | { readonly node: 'literal'; readonly type: TextType; readonly text: string }
  | Choice<TextType, TypedText>;

export type TypedTruth =
  | Named<TruthType>
  | { readonly node: 'literal'; readonly type: TruthType; readonly truth: boolean }
  | Connective
  | Comparison
  | Membership
  | Choice<TruthType, TypedTruth>;

export interface AmountLiteral {
  readonly node: 'literal';
  readonly type: AmountType;
  readonly amount: Quantity;
}

export interface Named<T> {
  readonly node: 'name';
  readonly type: T;
  readonly name: string;
}

/** `if`: one of two values, by a condition. */
export interface Choice<T, Branch> {
  readonly node: 'if';
  readonly type: T;
  readonly condition: TypedTruth;
  readonly then: Branch;
  readonly otherwise: Branch;
}

export type Calculation = Arithmetic | LookUp;

interface Arithmetic {
  readonly node: 'calculation';
  readonly type: AmountType;
  readonly operation: Arithmetical;
  readonly operands: readonly TypedAmount[];
}
/**
 * `plus`, `minus`, `times`, `over` take two operands, `around` a value and the whole circle, `negated` one, the others
 * one or more.
 */
export type Arithmetical =
  | 'plus'
  | 'minus'
  | 'times'
  | 'over'
  | 'negated'
  | 'lowest'
  | 'highest'
  | 'spread'
  | 'mean'
  | 'around';

/** What a table gives at its one operand. */
export interface LookUp {
  readonly node: 'calculation';
  readonly type: AmountType;
  readonly operation: 'table';
  readonly operands: readonly TypedAmount[];
  readonly table: Table;
}
export type Operation = Calculation['operation'];

export interface Connective {
  readonly node: 'connective';
  readonly type: TruthType;
  readonly connective: 'and' | 'or' | 'not';
  readonly operands: readonly TypedTruth[];
}

/** Amounts of one kind in order. Three operands are a chain: the first two and the last two both hold. */
export interface Comparison {
  readonly node: 'comparison';
  readonly type: TruthType;
  readonly relation: Relation;
  readonly operands: readonly TypedAmount[];
}
export type Relation = '==' | '!=' | '<' | '<=' | '>' | '>=';

/** Whether a text is (or, negated, is not) one of the others. Equality is membership of one. */
export interface Membership {
  readonly node: 'membership';
  readonly type: TruthType;
  readonly negated: boolean;
  readonly text: TypedText;
  readonly among: readonly TypedText[];
}

export const TRUTH: TruthType = { type: 'truth' };

export const isAmount = (typed: Typed): typed is TypedAmount => typed.type.type === 'amount';
export const isText = (typed: Typed): typed is TypedText => typed.type.type === 'text';
export const isTruth = (typed: Typed): typed is TypedTruth => typed.type.type === 'truth';
