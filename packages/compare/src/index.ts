export {
  type Change,
  type ChangeClass,
  changeClasses,
  changeClassNames,
  changeWeights,
  type Stated,
  type Weight,
} from './change.ts';
export { comparePacks } from './compare-packs.ts';
