export * from './arithmetic.ts';
export { decimalsFor } from './decimals-for.ts';
export { agreementRemedy, describeDisagreement } from './describe-disagreement.ts';
export * from './dual.ts';
export * from './fault.ts';
export * from './kind.ts';
export { inOtherSystem } from './other-system.ts';
export {
  type Amount,
  convert,
  parseQuantity,
  type Quantity,
  type QuantityResult,
  readEntry,
  storedQuantity,
  valueIn,
  writeAmount,
  writeQuantity,
} from './quantity.ts';
export * from './rational.ts';
export { baseUnit, findUnit, nearUnits, type Unit, units, unitsOf } from './units.ts';
export { writeInFull } from './write-in-full.ts';
