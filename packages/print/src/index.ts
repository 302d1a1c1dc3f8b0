export { crankPicture, type PictureHeading } from './crank-picture.ts';
export { deferral } from './deferral.ts';
export { type SheetOptions, sheet } from './sheet/sheet.ts';
