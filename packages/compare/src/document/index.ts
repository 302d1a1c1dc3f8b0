// What a browser may have of this package: documents, and the words of the outcomes in them.

export type * from '../readings/generated/readings-document.ts';
export { asideReasons } from '../rejudge/aside.ts';
export type * from '../rejudge/generated/rejudged-document.ts';
export { cannotReasons } from '../rejudge/outcome.ts';
export type * from './generated/comparison-document.ts';
