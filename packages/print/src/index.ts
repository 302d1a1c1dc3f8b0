export { crankPicture, type PictureHeading } from './crank-picture.ts';
export { deferral } from './deferral.ts';
export type { ProofMarks } from './graph/marks.ts';
export { procedureGraph } from './graph/procedure-graph.ts';
export { type SheetOptions, sheet } from './sheet/sheet.ts';
export {
  stripLegend,
  stripLine,
  stripOf,
  type ToleranceStrip,
  toleranceStrip,
} from './tolerance-strip.ts';
