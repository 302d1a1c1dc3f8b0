export type * from './generated/readings-document.ts';
export {
  type AskedReadings,
  type ReadingsOfStore,
  type ReadingsProgress,
  readingsOfStore,
} from './readings-of-store.ts';
