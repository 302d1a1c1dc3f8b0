export type { AmountAnswer, Answer, Lack, Read, Value } from './answer.ts';
export { compile, compileAmount } from './compile.ts';
export { evaluate, evaluateAmount } from './evaluate.ts';
export type { Explanation, Outcome, Says } from './explanation.ts';
export { type ExpressionFault, type ExpressionFaultCode, writeExpressionFault } from './fault.ts';
export { type Fact, type Formula, type Lowered, lower } from './lower.ts';
export { constantsComparedWith, namesIn } from './names.ts';
export { nearest } from './nearest.ts';
export { DEEPEST, LARGEST } from './out-of-bounds.ts';
export { canHaveValue, type PossibleTruths, possibleTruths } from './possible.ts';
export {
  type AmountType,
  type ListType,
  type Scope,
  scopeOf,
  type TextType,
  type TruthType,
  type Type,
  writeType,
} from './type.ts';
export { type TypedOrFaults, typeExpression } from './type-expression.ts';
export {
  isAmount,
  isText,
  isTruth,
  TRUTH,
  type Typed,
  type TypedAmount,
  type TypedText,
  type TypedTruth,
} from './typed.ts';
export { writeExplanation, writeLack } from './write-explanation.ts';
