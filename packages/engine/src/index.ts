export * from './crank/index.ts';
export * from './job/index.ts';
export type {
  Answer,
  Coefficients,
  Explanation,
  Lowered,
  Read,
  Scope,
  Sensitivities,
  Type,
  Typed,
  TypedAmount,
  TypedTruth,
} from './logic/index.ts';
export {
  compile,
  compileAmount,
  evaluate,
  evaluateAmount,
  inWords,
  lookUp,
  lower,
  nearest,
  scopeOf,
  sensitivities,
  typeExpression,
  writeExplanation,
  writeFormula,
} from './logic/index.ts';
export * from './measure/index.ts';
export * from './model/index.ts';
export * from './quantity/index.ts';
