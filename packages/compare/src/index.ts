export { type Change, type ChangeClass, changeClasses, type Stated, type Weight, weights } from './change.ts';
export { comparePacks } from './compare-packs.ts';
