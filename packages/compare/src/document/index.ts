export type * from './generated/comparison-document.ts';
